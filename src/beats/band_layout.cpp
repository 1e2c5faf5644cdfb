// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beats/band_layout.h"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

namespace downball::beats {

namespace {

std::size_t nearest_power_of_two(double samples) {
    return std::size_t{1} << std::max(5L, std::lround(std::log2(std::max(1.0, samples))));
}

std::size_t multiple_near(double samples, int factor) {
    return static_cast<std::size_t>(factor) *
           static_cast<std::size_t>(std::max(1L, std::lround(samples / factor)));
}

// ITU-R BS.1770-4, tables 1 and 2: the two filters of the K weighting, coefficients for 48 kHz. Only their
// power gain is used, bin by bin; what lies above 24 kHz is never asked for.
double k_gain(double hz) {
    const auto section = [&](double b0, double b1, double b2, double a1, double a2) {
        const std::complex<double> z = std::polar(1.0, -2 * std::numbers::pi * hz / 48000);
        return std::norm((b0 + b1 * z + b2 * z * z) / (1.0 + a1 * z + a2 * z * z));
    };
    return section(1.53512485958697, -2.69169618940638, 1.19839281085285, -1.69065929318241,
                   0.73248077421585) *
           section(1, -2, 1, -1.99004745483398, 0.99007225036621);
}

} // namespace

AnalysisRates analysis_rates(int song_rate_hz) {
    AnalysisRates r;
    r.song_rate_hz = song_rate_hz;
    r.factor = std::max(1, song_rate_hz / 22050);
    r.rate_hz = static_cast<double>(song_rate_hz) / r.factor;
    r.low_factor = std::max(1, static_cast<int>(r.rate_hz / 2700));
    r.hop = multiple_near(0.0058 * r.rate_hz, r.low_factor);
    r.cell = multiple_near(0.00073 * r.rate_hz, r.low_factor);
    r.wide_size = nearest_power_of_two(0.0232 * r.rate_hz);
    r.low_size = nearest_power_of_two(0.0464 * r.rate_hz / r.low_factor);
    r.tonal_size = 4 * r.low_size;
    r.tonal_hop = 8 * r.hop / static_cast<std::size_t>(r.low_factor);
    return r;
}

BandLayout::BandLayout(const AnalysisRates& rates) {
    const double low_rate = rates.rate_hz / rates.low_factor;
    // Bands from `from` to `to`, `per_octave` of them an octave, each at least one bin, none of them twice.
    const auto lay = [](double from, double to, double per_octave, double rate, std::size_t size) {
        std::vector<Bins> bands;
        const double bin_hz = rate / static_cast<double>(size);
        const auto limit = static_cast<std::size_t>(std::min(to, 0.47 * rate) / bin_hz) + 1;
        auto first = static_cast<std::size_t>(std::max(1L, std::lround(from / bin_hz)));
        for (double edge = from; first < limit;) {
            std::size_t last = first;
            while (last <= first) {
                edge *= std::exp2(1 / per_octave);
                last = static_cast<std::size_t>(std::lround(edge / bin_hz));
            }
            last = std::min(last, limit);
            bands.push_back(
                {first, last, static_cast<float>(0.5 * bin_hz * static_cast<double>(first + last - 1))});
            first = last;
        }
        return bands;
    };
    low_ = lay(35, 150, 4, low_rate, rates.low_size);
    wide_ = lay(170, 10000, 4, rates.rate_hz, rates.wide_size);
    tones_ = lay(53.45, 1200, 12, low_rate, rates.tonal_size);
    for (std::size_t i = 0; i <= rates.wide_size / 2; ++i)
        k_weight_.push_back(static_cast<float>(
            k_gain(static_cast<double>(i) * rates.rate_hz / static_cast<double>(rates.wide_size))));
}

std::vector<float> BandLayout::centres() const {
    std::vector<float> out;
    for (const auto* bands : {&low_, &wide_})
        for (const Bins& b : *bands)
            out.push_back(b.centre_hz);
    return out;
}

void BandLayout::append(const std::vector<Bins>& bands, std::span<const float> power,
                        std::vector<float>& out) {
    for (const Bins& b : bands) {
        float sum = 0;
        for (std::size_t i = b.first; i < b.last; ++i)
            sum += power[i];
        out.push_back(sum);
    }
}

void BandLayout::append_bands(std::span<const float> low, std::span<const float> wide,
                              std::vector<float>& out) const {
    append(low_, low, out);
    append(wide_, wide, out);
}

void BandLayout::append_tones(std::span<const float> tonal, std::vector<float>& out) const {
    append(tones_, tonal, out);
}

float BandLayout::loudness(std::span<const float> wide) const {
    float sum = 0;
    for (std::size_t i = 1; i < wide.size(); ++i)
        sum += k_weight_[i] * wide[i];
    return sum;
}

} // namespace downball::beats
