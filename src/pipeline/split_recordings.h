// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "pipeline/camera_day.h"

#include <cstddef>
#include <span>
#include <utility>
#include <vector>

namespace downball::pipeline {

// Pairs (file, the file that goes on where it ends) of recordings that a camera split at a size limit: files of one camera
// and one picture format, the next by name, beginning at the instant the first ends. A clock that tells to the frame is
// proof enough, since nobody stops and starts within a frame; by one that tells to a second the first file must have
// come near a limit of file systems, 2 GiB or more.
std::vector<std::pair<std::size_t, std::size_t>> find_splits(std::span<const DayClip> clips,
                                                             std::span<const clocks::Recording> recordings);

} // namespace downball::pipeline
