// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/dsp/loudness.h"

#include <array>
#include <cstddef>
#include <vector>

namespace downball::beats {

// All that is kept of a song: small enough for hours, fine enough to place a beat within a millisecond.
// Powers are pooled over the channels, never those of a downmix, so that inverted channels do not cancel.
struct SongFeatures {
    double duration_s = 0;

    // Frames, about 6 ms apart; frame k is centred on k * frame_s.
    double frame_s = 0;
    std::size_t frames = 0;
    std::size_t bands = 0;      // of `band_power`: low ones from long frames, then the rest from short ones
    std::size_t low_bands = 0;  // the first of them, under 150 Hz
    std::vector<float> band_hz; // centre of each
    std::vector<float> band_power; // frames x bands
    std::vector<float> loudness;   // frames; K-weighted power (ITU-R BS.1770 filter curve)

    dsp::LoudnessCurve loudness_curve; // ITU-R BS.1770, 20 ms apart

    // Fine envelopes, under 1 ms apart; cell j holds the energy of [j, j+1) * fine_s.
    enum Fine { fine_low, fine_all, fine_high, fine_kinds };
    double fine_s = 0;
    std::array<std::vector<float>, fine_kinds> fine;

    // Semitone bands from 55 Hz up, about 50 ms apart; frame k is centred on k * tonal_s.
    double tonal_s = 0;
    std::size_t tones = 0;
    std::vector<float> tone_power; // tonal frames x tones
};

} // namespace downball::beats
