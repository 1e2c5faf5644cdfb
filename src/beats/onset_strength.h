// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "beats/song_features.h"

#include <array>
#include <vector>

namespace downball::beats {

// How plainly something begins, frame by frame: log-compressed spectral flux in four registers.
struct OnsetStrength {
    enum Register { low, mid, presence, high, registers }; // kick and bass; bodies; snare; hats

    double frame_s = 0;
    std::array<std::vector<float>, registers> in; // >= 0, root mean square 1 over the song (0 if silent)
    std::vector<float> all;                       // weighted sum, local mean removed, local spread near 1
    // 0..1: how far the tones of the third of a second from here on are others than those before.
    std::vector<float> harmony;
    std::vector<float> loudness_db, bass_db; // of each frame, K-weighted and under 150 Hz; at least -90
    std::size_t first = 0, last = 0;         // [first, last): frames from the first sound to the last

    std::size_t frames() const { return all.size(); }
    // The strongest frame of one register within `reach` frames of `at`.
    float near(Register reg, double at, int reach) const;
};

// Of silence, or of a sound in which nothing begins, `all` and `in` are 0 throughout.
OnsetStrength onset_strength(const SongFeatures& song);

// The frames of the first and the last plain onset of the song; of its first and last sound where none is plain.
struct MusicEnds {
    double first = 0, last = 0;
};
MusicEnds music_ends(const OnsetStrength& onsets);

} // namespace downball::beats
