// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/model/beat_grid.h"

#include <cmath>
#include <vector>

namespace downball::test {

// A part of a song made by hand: so many bars that sound as `sound` says, from the part's first bar on.
struct Part {
    int bars;
    double energy;
    int sound; // parts of one sound are alike bar by bar
};

// The grid of a song in 4/4: one phrase and one section a part, a ring-out of `tail_s` after the last beat.
inline BeatGrid song_of(const std::vector<Part>& parts, double bpm, double offset_s, double tail_s) {
    BeatGrid grid;
    grid.tempo_bpm = bpm;
    grid.beats_per_bar = 4;
    grid.bars_per_phrase = 8;
    grid.steady = true;
    grid.confidence = grid.downbeat_confidence = grid.phrase_confidence = 0.9;
    for (const Part& part : parts) {
        const std::size_t first = grid.beats.size();
        for (int i = 0; i < 4 * part.bars; ++i) {
            Beat beat;
            beat.seconds = offset_s + static_cast<double>(grid.beats.size()) * 60 / bpm;
            beat.position = i % 4 + 1;
            beat.strength = i % 4 == 0 ? 1 : 0.6;
            beat.energy = beat.low_end = part.energy;
            grid.beats.push_back(beat);
            BeatTexture texture; // a chord a bar, another set of them in each sound
            for (std::size_t h = 0; h < BeatTexture::halves; ++h)
                texture
                    .tone[h * BeatTexture::pitches +
                          static_cast<std::size_t>(5 * part.sound + i / 4 % 4 * 3) % BeatTexture::pitches] =
                    1;
            texture.level.fill(static_cast<float>(part.energy));
            grid.textures.push_back(texture);
        }
        grid.sections.push_back({first, grid.beats.size(), part.energy, 0.8});
        grid.phrases.push_back({first, grid.beats.size()});
    }
    grid.duration_s = grid.beats.back().seconds + tail_s;
    return grid;
}

} // namespace downball::test
