// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "beats/band_layout.h"

#include "downball/dsp/block.h"
#include "downball/dsp/loudness.h"

#include <cstddef>
#include <span>
#include <vector>

namespace downball::beats {

// Loudness of a song for half of what it costs at the song's own rate. The meter gets the decimated stream that
// the features are made of. The power the decimation took away lies at high frequencies, where the K weighting
// is flat: it is counted by the sum of squares alone, with the weighting's gain there. Within 0.1 LU of the meter
// on the song itself; most of that is the filter's bend near half of the lower rate.
class SongLoudness {
  public:
    SongLoudness(const AnalysisRates& rates, std::size_t channels);

    // The same stretch of the song, in any order of the two: one channel at the song's rate; then, all channels,
    // what decimation has let out by now.
    void push_whole(std::size_t channel, std::span<const float> samples);
    void push_decimated(const dsp::PlanarBlock& block);
    dsp::LoudnessCurve finish();

  private:
    // Sums of squares in cells, whatever the blocks.
    struct Sums {
        std::size_t cell = 0, filled = 0;
        double lanes[4] = {};
        std::vector<double> out;
        void push(std::span<const float> samples);
    };

    int factor_;
    dsp::LoudnessMeter meter_;
    std::vector<Sums> whole_, decimated_;
};

} // namespace downball::beats
