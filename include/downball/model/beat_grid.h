// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace downball {

// One beat of the song. Seconds are media seconds: from the first presented sample of the song file, or, where it
// has pictures, from the first of them.
struct Beat {
    double seconds = 0;
    int position = 0;           // in the bar: 1 = downbeat; 0 = not known
    double strength = 0;        // 0..1 within this song: how plainly something is struck on it
    double energy = 0;          // 0..1 within this song: loudness around it
    double low_end = 0;         // 0..1 within this song: the same, under 150 Hz
    double loudness_lufs = -70; // from this beat to the next (ITU-R BS.1770, ungated); -70 and less = silence
};

// A stretch of the song with one character, borders on beats. [first, last) are beat indices.
struct Section {
    std::size_t first = 0;
    std::size_t last = 0;
    double energy = 0;     // mean of its beats, 0..1
    double confidence = 1; // 0..1: that something new begins at `first`
};

// A musical sentence of 8, 16 or 32 bars (fewer at the song's ends and before a section that comes early).
// [first, last) are beat indices; `first` is a downbeat, but the first phrase also holds the beats before it.
struct Phrase {
    std::size_t first = 0;
    std::size_t last = 0;
};

// A tempo at which the song can be counted as well, and how likely that is the right one, 0..1.
struct OtherTempo {
    double tempo_bpm = 0;
    double likelihood = 0;
};

// Below this confidence the beats are told as uncertain.
inline constexpr double low_confidence = 0.5;

// What a beat sounds like, to tell whether another one could stand in its place. For each half of the beat the
// twelve pitch classes, of unit length together (all 0 = no tone); then for each quarter of it the level in
// four registers (under 150, 800, 5000 Hz, and above), 0 = 40 dB and more under the song's loud beats, 1 = as these.
struct BeatTexture {
    static constexpr std::size_t halves = 2, pitches = 12, quarters = 4, registers = 4;
    std::array<float, halves * pitches> tone{};
    std::array<float, quarters * registers> level{};
};

struct BeatGrid {
    std::vector<Beat> beats;             // in order; strictly increasing seconds
    std::vector<BeatTexture> textures;   // one a beat, or none
    double duration_s = 0;               // of the song
    double tempo_bpm = 0;                // of the grid, or the median of the beats' periods
    std::vector<OtherTempo> other_tempi; // those worth a try, the likeliest first
    int beats_per_bar = 0;               // 0 = not known
    int division = 0;    // parts a beat falls into: 2, or 3 (6/8 = 2 beats a bar, division 3); 0 = not known
    bool steady = false; // one tempo throughout: beats lie on offset + k x period
    double residual_s = 0; // steady: RMS distance of the single beats found from the grid
    // 0..1: that these are the beats. One half is that there is a pulse at all, the other that no other reading of
    // it (half, double, the off-beat) is as likely.
    double confidence = 0;
    double downbeat_confidence = 0;
    double loudness_lufs = -70; // of the whole song, gated (ITU-R BS.1770)
    std::vector<Section> sections;
    std::vector<Phrase> phrases; // tile the beats; none where bars are not known
    int bars_per_phrase = 0;     // 8, 16 or 32; 0 = not known
    double phrase_confidence = 0;
    std::optional<std::size_t> arrival; // the beat at which the strongest rise in energy lands
    double arrival_confidence = 0;
};

} // namespace downball
