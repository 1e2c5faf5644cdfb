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

// The song cut to length. Piece 0 begins at record start; piece 1, if there is one, follows without a gap: it
// begins at the place of a bar that is like the one piece 0 would have gone on with.
//
//     song     |--------[ piece 0 )......[ piece 1 )---|
//     record            [ piece 0 )[ piece 1 )
//                                 ^ crossfade, centred
struct SongCut {
    std::vector<SongPiece> pieces;
    double crossfade_s = 0; // over the jump
    double fade_out_s = 0;  // at the end; 0 = the ring-out as played

    double length_s() const {
        double sum = 0;
        for (const SongPiece& piece : pieces)
            sum += piece.out_s - piece.in_s;
        return sum;
    }
};

} // namespace downball
