// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "impacts/frame_store.h"

#include "downball/dsp/band_bank.h"

#include <cstdint>

namespace downball::impacts {

// The fine frame at which the event near `frame` begins: the point that best splits the sound around it
// into a quiet part and a loud part. For each band the likelihood of Gaussian noise whose variance changes
// once is taken (the picker of Maeda 1985, Zisin 38: AIC(k) = k ln var(before) + (N - k) ln var(after)),
// and the bands are added by the independent values a fine frame holds of each; a lagging band is moved
// forward first. The start of the rise is found, not its peak.
double place_onset(const FrameStore& store, const dsp::BandBank& bank, double fine_s, std::int64_t frame);

} // namespace downball::impacts
