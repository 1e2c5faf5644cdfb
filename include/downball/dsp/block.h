// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <span>

namespace downball::dsp {

// Some samples of each channel, side by side in time: channels[c][i], -1..1 nominal, all of `frames` length.
struct PlanarBlock {
    std::span<const float* const> channels;
    std::size_t frames = 0;
};

} // namespace downball::dsp
