// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace downball::beats {

// At which rates and in which steps a song of some rate is analysed.
struct AnalysisRates {
    int song_rate_hz = 0;
    int factor = 1;            // song rate / analysis rate
    double rate_hz = 0;        // of the analysis: 16..44 kHz, or the song's if lower
    int low_factor = 1;        // analysis rate / rate of the low stream, which is near 2.7 kHz
    std::size_t hop = 0;       // between frames, in analysis samples; a multiple of low_factor; near 5.8 ms
    std::size_t cell = 0;      // of the fine envelopes; a multiple of low_factor; near 0.73 ms
    std::size_t wide_size = 0; // frame near 23 ms of the analysis stream
    std::size_t low_size = 0;  // frame near 46 ms of the low stream: tells a steady 50 Hz from a new one
    std::size_t tonal_size = 0, tonal_hop = 0; // frame near 186 ms, step near 46 ms, both of the low stream
};

AnalysisRates analysis_rates(int song_rate_hz);

// Which spectrum bins make which band.
class BandLayout {
  public:
    explicit BandLayout(const AnalysisRates& rates);

    std::size_t bands() const { return low_.size() + wide_.size(); }
    std::size_t low_bands() const { return low_.size(); }
    std::size_t tones() const { return tones_.size(); }
    std::vector<float> centres() const;

    void append_bands(std::span<const float> low, std::span<const float> wide, std::vector<float>& out) const;
    void append_tones(std::span<const float> tonal, std::vector<float>& out) const;
    float loudness(std::span<const float> wide) const;

  private:
    struct Bins {
        std::size_t first = 0, last = 0; // [first, last)
        float centre_hz = 0;
    };
    static void append(const std::vector<Bins>& bands, std::span<const float> power, std::vector<float>& out);

    std::vector<Bins> low_, wide_, tones_;
    std::vector<float> k_weight_; // per bin of the wide frame
};

} // namespace downball::beats
