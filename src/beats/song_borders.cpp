// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beats/song_borders.h"

namespace downball::beats {

SongBorders::SongBorders(const BeatGrid& grid)
    : levels_(grid.beats.size(), Level::beat), bar_in_phrase_(grid.beats.size(), -1) {
    const std::size_t n = grid.beats.size();
    bars_known_ = grid.beats_per_bar > 0;
    std::vector<bool> opens_phrase(n, false), opens_section(n, false);
    for (const Section& section : grid.sections)
        if (section.first < n) opens_section[section.first] = true;
    for (const Phrase& phrase : grid.phrases)
        if (phrase.first < n) opens_phrase[phrase.first] = true;

    // The song's first beat opens everything by being the first, which makes it no border yet.
    const bool by_phrase = !grid.phrases.empty();
    int bar = -1;
    for (std::size_t i = 0; i < n; ++i) {
        // A phrase that begins with an upbeat is counted from the bar after it.
        if (bars_known_ && grid.beats[i].position != 1 && i + 1 < n) {
            opens_phrase[i + 1] = opens_phrase[i + 1] || opens_phrase[i];
            opens_section[i + 1] = opens_section[i + 1] || opens_section[i];
        }
        if (!bars_known_ || grid.beats[i].position != 1) continue;
        bar = (by_phrase ? opens_phrase[i] : opens_section[i]) ? 0 : bar < 0 ? -1 : bar + 1;
        bar_in_phrase_[i] = bar;
        const int half = by_phrase && grid.bars_per_phrase > 1 ? grid.bars_per_phrase / 2 : 4;
        levels_[i] = opens_phrase[i] || opens_section[i] ? Level::phrase
                     : bar > 0 && bar % half == 0        ? Level::half_phrase
                                                         : Level::bar;
    }
}

} // namespace downball::beats
