// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/dsp/block.h"

#include <functional>

namespace downball::media {

// What is heard of a movie's sound: coded as MovieWriter does it and decoded again, since coding moves peaks. Stereo at
// movie_hz; `hear` gets as many samples in all as there are, in blocks, the delay of the coder taken out.
Result<void> hear_coded(const dsp::PlanarBlock& sound,
                        const std::function<void(const dsp::PlanarBlock&)>& hear);

} // namespace downball::media
