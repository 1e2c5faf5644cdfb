// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "pipeline/gather.h"
#include "pipeline/song_event.h"

#include "downball/model/warning.h"
#include "downball/time/tick.h"

#include <vector>

namespace downball::pipeline {

// What material and song say that the user should hear about before showing the reel, of that length, to anybody.
std::vector<Warning> warnings_for(const Material& material, const SongToCutTo& song, Frame length);

} // namespace downball::pipeline
