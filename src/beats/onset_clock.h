// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "beats/song_features.h"

#include "downball/dsp/onset.h"

namespace downball::beats {

// Reads the instant of an onset off the fine envelopes, finer than the frames the beats were tracked in.
class OnsetClock {
  public:
    explicit OnsetClock(const SongFeatures& song);

    struct Hit {
        double seconds = 0; // start of the rise
        double rise = 0;    // 0 = nothing begins there
    };
    // The clearest rise within `reach_s`, near ones preferred (Gaussian, `pull_s`).
    Hit near(double around_s, double reach_s, double pull_s) const;

  private:
    double cell_s_;
    std::vector<float> rise_;
};

} // namespace downball::beats
