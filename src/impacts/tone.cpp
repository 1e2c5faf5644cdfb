// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "impacts/tone.h"

#include "downball/dsp/lanes.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <numbers>
#include <vector>

namespace downball::impacts {
namespace {

constexpr std::size_t size = 512;
using Lines = std::array<float, size>;

// Real and imaginary parts apart, so that the loops run in vectors.
struct Spectrum {
    Lines real, imaginary;
};

struct Tables {
    // Turns for half = 1, 2, 4, ... one after the other, each in order.
    std::array<float, size> cosine, sine;
    Lines window;
    std::array<std::uint16_t, size> mirror; // indices with their bits in reverse order
    Tables() {
        for (std::size_t i = 0; i < size; ++i) {
            const double turn_of = 2 * std::numbers::pi * static_cast<double>(i) / size;
            window[i] = static_cast<float>(0.5 - 0.5 * std::cos(turn_of));
            mirror[i] = static_cast<std::uint16_t>(i == 0 ? 0 : mirror[i / 2] / 2 + (i % 2) * (size / 2));
        }
        for (std::size_t half = 1; half < size; half *= 2)
            for (std::size_t k = 0; k < half; ++k) {
                const double turn_of = std::numbers::pi * static_cast<double>(k) / static_cast<double>(half);
                cosine[half + k] = static_cast<float>(std::cos(turn_of));
                sine[half + k] = static_cast<float>(-std::sin(turn_of));
            }
    }
};

// The first two rounds at once: their turns are quarters of a circle.
void first_rounds(Spectrum& x) {
    for (std::size_t at = 0; at < size; at += 4) {
        float* const real = x.real.data() + at;
        float* const imaginary = x.imaginary.data() + at;
        const float a = real[0] + real[1], b = real[0] - real[1];
        const float c = real[2] + real[3], d = real[2] - real[3];
        const float e = imaginary[0] + imaginary[1], f = imaginary[0] - imaginary[1];
        const float g = imaginary[2] + imaginary[3], h = imaginary[2] - imaginary[3];
        real[0] = a + c;
        real[1] = b + h;
        real[2] = a - c;
        real[3] = b - h;
        imaginary[0] = e + g;
        imaginary[1] = f - d;
        imaginary[2] = e - g;
        imaginary[3] = f + d;
    }
}

// Input in mirrored order, output in order.
void transform(Spectrum& x, const Tables& tables) {
    first_rounds(x);
    for (std::size_t half = 4; half < size; half *= 2) {
        for (std::size_t i = 0; i < size / 2; i += dsp::lane_count) {
            const std::size_t k = i & (half - 1), at = 2 * i - k; // `half` left out after every `half`
            const dsp::Lanes cosine = dsp::load_lanes(tables.cosine.data() + half + k);
            const dsp::Lanes sine = dsp::load_lanes(tables.sine.data() + half + k);
            float* const real = x.real.data() + at;
            float* const imaginary = x.imaginary.data() + at;
            const dsp::Lanes y = dsp::load_lanes(real + half), z = dsp::load_lanes(imaginary + half);
            const dsp::Lanes far_real = y * cosine - z * sine, far_imaginary = y * sine + z * cosine;
            const dsp::Lanes near_real = dsp::load_lanes(real), near_imaginary = dsp::load_lanes(imaginary);
            dsp::store_lanes(near_real + far_real, real);
            dsp::store_lanes(near_imaginary + far_imaginary, imaginary);
            dsp::store_lanes(near_real - far_real, real + half);
            dsp::store_lanes(near_imaginary - far_imaginary, imaginary + half);
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
    Spectrum x;
    std::vector<float> one(size * static_cast<std::size_t>(fold)), other(one.size(), 0.0f);
    const auto folded = [fold](const float* samples) {
        float sum = 0;
        for (std::int64_t k = 0; k < fold; ++k)
            sum += samples[k];
        return sum;
    };
    // Two channels in one transform: as real and imaginary parts, their powers add up over k and -k.
    for (std::size_t c = 0; c < front.channels(); c += 2) {
        front.past(c, from, one);
        if (c + 1 < front.channels())
            front.past(c + 1, from, other);
        else
            std::fill(other.begin(), other.end(), 0.0f);
        for (std::size_t i = 0; i < size; ++i) {
            const std::size_t at = i * static_cast<std::size_t>(fold), to = tables.mirror[i];
            x.real[to] = tables.window[i] * folded(one.data() + at);
            x.imaginary[to] = tables.window[i] * folded(other.data() + at);
        }
        transform(x, tables);
        const auto norm = [&x](std::size_t k) {
            return x.real[k] * x.real[k] + x.imaginary[k] * x.imaginary[k];
        };
        for (std::size_t i = 1; i < power.size(); ++i)
            power[i] += norm(i) + norm(size - i);
    }
    return {peak_ln(power, size / rate, 1000, 5000), peak_ln(power, size / rate, 90, 800)};
}

} // namespace downball::impacts
