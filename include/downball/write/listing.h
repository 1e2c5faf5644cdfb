// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/model/beat_grid.h"
#include "downball/model/heard.h"
#include "downball/model/song_hints.h"

#include <string>

// What the commands `beats` and `impacts` print. Seconds have six decimals: the plain annotation format that
// evaluation libraries read, finer than a sample at 192 kHz needs for judging but short enough to look at.
namespace downball::write {

// "seconds<TAB>position" a line; position 0 = not known.
std::string beat_lines(const BeatGrid& grid);
// All that is known, by schemas/beats.schema.json, and what the user had said of the song beforehand.
std::string beat_json(const BeatGrid& grid, const std::string& file, const SongHints& hints = {});

// "seconds<TAB>confidence" a line.
std::string impact_lines(const Hearing& hearing);
// All that is known, by schemas/impacts.schema.json.
std::string impact_json(const Hearing& hearing, const std::string& file);

} // namespace downball::write
