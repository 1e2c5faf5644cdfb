// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "impacts/tone.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <complex>
#include <numbers>
#include <vector>

namespace downball::impacts {
namespace {

constexpr std::size_t size = 512;
using Line = std::complex<float>;

struct Tables {
    std::array<Line, size / 2> turn;
    std::array<float, size> window;
    Tables() {
        for (std::size_t i = 0; i < size; ++i) {
            const double turn_of = 2 * std::numbers::pi * static_cast<double>(i) / size;
            window[i] = static_cast<float>(0.5 - 0.5 * std::cos(turn_of));
            if (i < size / 2)
                turn[i] = {static_cast<float>(std::cos(turn_of)), static_cast<float>(-std::sin(turn_of))};
        }
    }
};

void transform(std::array<Line, size>& x, const Tables& tables) {
    for (std::size_t i = 1, j = 0; i < size; ++i) {
        std::size_t bit = size / 2;
        for (; j & bit; bit /= 2)
            j ^= bit;
        j ^= bit;
        if (i < j) std::swap(x[i], x[j]);
    }
    for (std::size_t half = 1; half < size; half *= 2) {
        for (std::size_t start = 0; start < size; start += 2 * half) {
            for (std::size_t k = 0; k < half; ++k) {
                const Line turn = tables.turn[k * (size / 2 / half)];
                const Line& y = x[start + k + half];
                const Line far{y.real() * turn.real() - y.imag() * turn.imag(),
                               y.real() * turn.imag() + y.imag() * turn.real()};
                const Line near = x[start + k];
                x[start + k] = near + far;
                x[start + k + half] = near - far;
            }
        }
    }
}

// ln of the highest line over the median one, between two frequencies.
float peak_ln(std::array<float, size / 2> power, double lines_per_hz, double low_hz, double high_hz) {
    const auto low = static_cast<std::size_t>(low_hz * lines_per_hz);
    const auto high = std::min(power.size() - 1, static_cast<std::size_t>(high_hz * lines_per_hz));
    const auto first = power.begin() + static_cast<std::ptrdiff_t>(low);
    const auto last = power.begin() + static_cast<std::ptrdiff_t>(high);
    const float top = *std::max_element(first, last);
    const auto mid = first + (last - first) / 2;
    std::nth_element(first, mid, last);
    if (!(*mid > 1e-6f * top)) return top > 0 ? 13.8f : 2.0f;
    return std::log(top / *mid);
}

} // namespace

Tones tones_after(const FrontEnd& front, std::int64_t sample) {
    static const Tables tables;
    // Folded to 16-32 kHz where the rate allows: enough for a whistle, and the window is long enough to tell a line
    // from noise.
    const auto fold = std::max<std::int64_t>(1, static_cast<std::int64_t>(front.work_rate_hz() / 16000));
    const double rate = front.work_rate_hz() / static_cast<double>(fold);
    const std::int64_t from = std::min(sample, front.past_end() - static_cast<std::int64_t>(size) * fold - 1);
    if (from < 1 || front.past_end() - from >= static_cast<std::int64_t>(FrontEnd::past_length) - 1)
        return {2, 2};

    std::array<float, size / 2> power{};
    std::array<Line, size> x;
    // Two channels in one transform: as real and imaginary parts, their powers add up over k and -k.
    for (std::size_t c = 0; c < front.channels(); c += 2) {
        const bool pair = c + 1 < front.channels();
        for (std::size_t i = 0; i < size; ++i) {
            float one = 0, other = 0;
            for (std::int64_t k = 0; k < fold; ++k) {
                const std::int64_t at = from + static_cast<std::int64_t>(i) * fold + k;
                one += front.past(c, at);
                if (pair) other += front.past(c + 1, at);
            }
            x[i] = {tables.window[i] * one, tables.window[i] * other};
        }
        transform(x, tables);
        for (std::size_t i = 1; i < power.size(); ++i)
            power[i] += std::norm(x[i]) + std::norm(x[size - i]);
    }
    return {peak_ln(power, size / rate, 1000, 5000), peak_ln(power, size / rate, 90, 800)};
}

} // namespace downball::impacts
