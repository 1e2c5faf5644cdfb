// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

namespace downball {

// A ball contact heard in a clip's own sound, at the microphone. Seconds are media seconds: they count from
// the presentation of the clip's first video frame (of an audio-only file: its first presented sample).
struct Heard {
    double sound_s = 0;
    double confidence = 0; // 0..1
    double strength = 0;   // 0..1 within the clip: how hard the hit sounds
    double hard = 0.5;     // 0..1: how likely it is a serve, an attack or a block; a hint
    int rally = -1;        // ordinal of the rally within the clip, from 0; -1 = in none
};

// Everything one clip's sound gave; notes tell what could not be listened to and why.
struct Hearing {
    std::vector<Heard> contacts; // in order
    double crowd = 0;            // 0..1: in how much of the sound a crowd is heard over everything else
    std::vector<std::string> notes;
    bool broke_off = false; // reading failed half-way, as of a worn card: what came after was not heard
};

} // namespace downball
