// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/model/beat_grid.h"

#include <vector>

namespace downball::beats {

enum class Level { none, beat, bar, half_phrase, phrase };

// How high in the song's form each beat begins something. A border of a section counts as one of a phrase.
// Where no phrases are known, every fourth bar from a section's first stands for half a phrase; where no bars
// are known, beats are all there is.
class SongBorders {
  public:
    explicit SongBorders(const BeatGrid& grid);

    Level level(std::size_t beat) const { return levels_[beat]; }
    // Bars since the phrase (else the section) began; -1 before the first one and inside a bar.
    int bar_in_phrase(std::size_t beat) const { return bar_in_phrase_[beat]; }
    bool bars_known() const { return bars_known_; }

  private:
    std::vector<Level> levels_;
    std::vector<int> bar_in_phrase_;
    bool bars_known_ = false;
};

} // namespace downball::beats
