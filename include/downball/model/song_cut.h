// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

namespace downball {

// A stretch of the song file that is played, [in_s, out_s) in its media seconds.
struct SongPiece {
    double in_s = 0;
    double out_s = 0;
};

// What the cut song ends on: its own ending, a border of its form, or nothing in particular.
enum class SongEnding { own, phrase, bar, beat, cut_off };

// The song cut to length. Piece 0 begins at record start; piece 1, if there is one, follows without a gap: it
// begins at the place of a bar that is like the one piece 0 would have gone on with.
//
//     song     |--------[ piece 0 )......[ piece 1 )---|
//     record            [ piece 0 )[ piece 1 )
//                                 ^ crossfade, centred
//
// In and out are whole samples of 48 kHz, counted in media seconds, wherever the tool chose them.
struct SongCut {
    std::vector<SongPiece> pieces;
    double crossfade_s = 0; // over the jump
    double fade_in_s = 0;   // of some milliseconds, where the song is entered in full sound
    double fade_out_s = 0;  // before the last piece's out; 0 = the ring-out as played
    double silence_s = 0;   // behind the last piece, up to the length that was wanted
    double likeness = 1;    // 0..1: of the bars that meet at the jump
    SongEnding ending = SongEnding::own;

    double length_s() const {
        double sum = 0;
        for (const SongPiece& piece : pieces)
            sum += piece.out_s - piece.in_s;
        return sum;
    }
};

} // namespace downball
