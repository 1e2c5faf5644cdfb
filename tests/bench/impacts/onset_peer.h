// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "bench/impacts/detector.h"

#include <array>
#include <span>

// The onset detectors of aubio 0.4.9 on the downmix, in windows of 1024 samples every 256.
namespace downball::bench {

inline constexpr std::array onset_methods{"energy",   "hfc", "complex", "phase",   "wphase",
                                          "specdiff", "kl",  "mkl",     "specflux"};

inline constexpr std::array thresholds{0.05f, 0.07f, 0.1f, 0.14f, 0.2f, 0.28f, 0.4f,
                                       0.57f, 0.8f,  1.1f, 1.6f,  2.3f, 3.2f};

struct Onsets {
    Found own;                                  // at the method's own threshold
    double cpu_s = 0;                           // for these
    std::array<Found, thresholds.size()> other; // at the thresholds above
};

Onsets hear_onsets(const std::string& method, const test::MixedClip& clip);

} // namespace downball::bench
