// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "synth.h"

namespace downball::sample {
namespace {

struct Turn {
    double c, alpha;
};
Turn turn_of(double hz, double q) {
    const double w = 2 * pi * hz / audio_rate;
    return {std::cos(w), std::sin(w) / (2 * q)};
}

} // namespace

Filter Filter::low_pass(double hz, double q) {
    const auto [c, a] = turn_of(hz, q);
    return {(1 - c) / 2, 1 - c, (1 - c) / 2, 1 + a, -2 * c, 1 - a};
}
Filter Filter::high_pass(double hz, double q) {
    const auto [c, a] = turn_of(hz, q);
    return {(1 + c) / 2, -1 - c, (1 + c) / 2, 1 + a, -2 * c, 1 - a};
}
Filter Filter::band_pass(double hz, double q) {
    const auto [c, a] = turn_of(hz, q);
    return {a, 0, -a, 1 + a, -2 * c, 1 - a};
}

void add(Stereo& into, const Mono& voice, std::ptrdiff_t at, double gain, double pan) {
    const auto left = static_cast<float>(gain * std::cos((pan + 1) * pi / 4) * std::sqrt(2.0));
    const auto right = static_cast<float>(gain * std::sin((pan + 1) * pi / 4) * std::sqrt(2.0));
    const auto end = static_cast<std::ptrdiff_t>(into.size());
    for (std::size_t i = 0; i < voice.size(); ++i) {
        const std::ptrdiff_t n = at + static_cast<std::ptrdiff_t>(i);
        if (n < 0) continue;
        if (n >= end) break;
        into.left[static_cast<std::size_t>(n)] += left * voice[i];
        into.right[static_cast<std::size_t>(n)] += right * voice[i];
    }
}

double rms(const Mono& samples, std::ptrdiff_t from, std::ptrdiff_t to) {
    from = std::max<std::ptrdiff_t>(from, 0);
    to = std::min(to, static_cast<std::ptrdiff_t>(samples.size()));
    if (to <= from) return 0;
    double sum = 0;
    for (std::ptrdiff_t i = from; i < to; ++i)
        sum +=
            static_cast<double>(samples[static_cast<std::size_t>(i)]) * samples[static_cast<std::size_t>(i)];
    return std::sqrt(sum / static_cast<double>(to - from));
}

double true_peak(const Mono& samples) {
    double peak = 0;
    for (const float x : samples)
        peak = std::max(peak, std::abs(static_cast<double>(x)));
    constexpr int half = 8;
    const double loud = peak * 0.6;
    for (std::size_t i = half; i + half < samples.size(); ++i) {
        if (std::abs(static_cast<double>(samples[i])) < loud) continue;
        for (const double part : {-0.75, -0.5, -0.25, 0.25, 0.5, 0.75}) {
            double sum = 0;
            for (int k = -half + 1; k < half; ++k) {
                const double d = part - k;
                sum += static_cast<double>(samples[i + static_cast<std::size_t>(k + half) - half]) *
                       std::sin(pi * d) / (pi * d) * (0.5 + 0.5 * std::cos(pi * d / half));
            }
            peak = std::max(peak, std::abs(sum));
        }
    }
    return peak;
}

} // namespace downball::sample
