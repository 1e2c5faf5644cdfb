// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/analysis/folder.h"
#include "downball/model/beat_grid.h"
#include "downball/model/song_hints.h"

#include <optional>
#include <string>

namespace downball::analysis {

// The beats of a song as they are kept. What the user said of the song decides them, and is in the name.
Document song_document(const std::string& id, const SongHints& hints);
text::JsonObject to_json(const BeatGrid& grid);
std::optional<BeatGrid> grid_from(const text::Json& found);

} // namespace downball::analysis
