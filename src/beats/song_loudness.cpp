// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beats/song_loudness.h"

#include <algorithm>

namespace downball::beats {

void SongLoudness::Sums::push(std::span<const float> samples) {
    for (std::size_t at = 0; at < samples.size();) {
        const std::size_t end = at + std::min(cell - filled, samples.size() - at);
        // Four sums side by side, since one would wait for itself; which one a sample goes to depends on its place
        // in the cell alone.
        for (; at < end && filled % 4 != 0; ++at, ++filled)
            lanes[filled % 4] += static_cast<double>(samples[at]) * static_cast<double>(samples[at]);
        for (; at + 4 <= end; at += 4, filled += 4)
            for (std::size_t lane = 0; lane < 4; ++lane) {
                const auto x = static_cast<double>(samples[at + lane]);
                lanes[lane] += x * x;
            }
        for (; at < end; ++at, ++filled)
            lanes[filled % 4] += static_cast<double>(samples[at]) * static_cast<double>(samples[at]);
        if (filled < cell) continue;
        out.push_back((lanes[0] + lanes[1] + lanes[2] + lanes[3]) / static_cast<double>(cell));
        std::fill(std::begin(lanes), std::end(lanes), 0.0);
        filled = 0;
    }
}

SongLoudness::SongLoudness(const AnalysisRates& rates, std::size_t channels)
    : factor_(rates.factor), meter_(rates.rate_hz, channels) {
    Sums sums;
    sums.cell = meter_.cell_samples();
    decimated_.assign(channels, sums);
    sums.cell *= static_cast<std::size_t>(factor_);
    whole_.assign(channels, sums);
}

void SongLoudness::push_whole(std::size_t channel, std::span<const float> samples) {
    if (factor_ > 1) whole_[channel].push(samples);
}

void SongLoudness::push_decimated(const dsp::PlanarBlock& block) {
    meter_.push(block);
    for (std::size_t c = 0; factor_ > 1 && c < decimated_.size(); ++c)
        decimated_[c].push({block.channels[c], block.frames});
}

dsp::LoudnessCurve SongLoudness::finish() {
    dsp::LoudnessCurve curve = meter_.finish();
    constexpr double high_gain = 2.512; // 4.0 dB, the shelf of BS.1770-4 from about 5 kHz up
    for (std::size_t c = 0; factor_ > 1 && c < whole_.size(); ++c) {
        const double gain = high_gain * dsp::loudness_weight(c, whole_.size());
        const std::size_t cells =
            std::min({curve.power.size(), whole_[c].out.size(), decimated_[c].out.size()});
        for (std::size_t k = 0; k < cells; ++k)
            curve.power[k] += gain * (whole_[c].out[k] - decimated_[c].out[k]);
    }
    for (double& p : curve.power)
        p = std::max(p, 0.0);
    return curve;
}

} // namespace downball::beats
