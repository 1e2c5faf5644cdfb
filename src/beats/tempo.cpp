// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beats/tempo.h"

#include <algorithm>
#include <cmath>

namespace downball::beats {

namespace {

// Autocorrelation of the onset strength, summed from windows of 12 s so that a slow drift of the tempo does
// not smear it away; each window counts by its own onsets.
std::vector<double> autocorrelation(const OnsetStrength& onsets, std::size_t lags) {
    const auto window = static_cast<std::size_t>(12 / onsets.frame_s);
    std::vector<double> out(lags, 0.0);
    const auto& x = onsets.all;
    for (std::size_t start = onsets.first; start < onsets.last; start += window) {
        const std::size_t end = std::min(start + window, onsets.last);
        for (std::size_t lag = 0; lag < lags; ++lag) {
            float sum = 0;
            const std::size_t stop = std::min(end, onsets.last > lag ? onsets.last - lag : 0);
            for (std::size_t i = start; i < stop; ++i)
                sum += x[i] * x[i + lag];
            out[lag] += static_cast<double>(sum);
        }
    }
    if (out[0] > 0)
        for (double& a : std::span(out).subspan(1))
            a /= out[0];
    if (out[0] > 0) out[0] = 1;
    return out;
}

double at(const std::vector<double>& x, double position) {
    const auto i = static_cast<std::size_t>(position);
    if (i + 1 >= x.size()) return 0;
    const double part = position - static_cast<double>(i);
    return x[i] * (1 - part) + x[i + 1] * part;
}

} // namespace

double tempo_prior(double period_s, const BeatOptions& options) {
    const double octaves = std::log2(period_s * options.favoured_bpm / 60);
    constexpr double spread = 0.7; // octaves; half or double of 120 costs one nat
    return -0.5 * (octaves / spread) * (octaves / spread);
}

std::vector<TempoGuess> guess_tempi(const OnsetStrength& onsets, const BeatOptions& options) {
    const double slowest = 60 / options.slowest_bpm, fastest = 60 / options.fastest_bpm;
    const auto lags = static_cast<std::size_t>(4 * slowest / onsets.frame_s) + 2;
    const auto match = autocorrelation(onsets, lags);

    std::vector<TempoGuess> curve;
    for (double period = fastest; period <= slowest; period *= 1.005) {
        double sum = 0, weights = 0;
        for (int m = 1; m <= 4; ++m) {
            sum += at(match, m * period / onsets.frame_s) / m;
            weights += 1.0 / m;
        }
        curve.push_back({period, sum / weights});
    }
    const auto valued = [&](const TempoGuess& g) {
        return g.salience * std::exp(0.5 * tempo_prior(g.period_s, options));
    };
    std::vector<TempoGuess> peaks;
    for (std::size_t i = 1; i + 1 < curve.size(); ++i)
        if (curve[i].salience > 0 && curve[i].salience >= curve[i - 1].salience &&
            curve[i].salience > curve[i + 1].salience)
            peaks.push_back(curve[i]);
    std::stable_sort(peaks.begin(), peaks.end(),
                     [&](const auto& a, const auto& b) { return valued(a) > valued(b); });
    if (peaks.size() > 3) peaks.resize(3);

    std::vector<TempoGuess> out;
    const auto offer = [&](double period) {
        if (period < fastest * 0.999 || period > slowest * 1.001) return;
        for (const TempoGuess& g : out)
            if (std::abs(std::log(g.period_s / period)) < 0.05) return;
        const auto place =
            static_cast<std::size_t>(std::clamp(std::lround(std::log(period / fastest) / std::log(1.005)), 0L,
                                                static_cast<long>(curve.size()) - 1));
        out.push_back({period, curve[place].salience});
    };
    for (const TempoGuess& peak : peaks)
        offer(peak.period_s);
    for (const TempoGuess& peak : peaks)
        for (double kin : {2.0, 0.5, 1.5, 2.0 / 3, 3.0, 1.0 / 3})
            offer(peak.period_s * kin);
    if (out.size() > 8) out.resize(8);
    return out;
}

} // namespace downball::beats
