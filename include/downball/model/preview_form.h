// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

namespace downball {

enum class PreviewShape {
    wide,   // 16:9; pictures of another shape stand between black bars
    tall,   // 9:16; filled, what is over at the sides is cut off around Take::crop_centre
    square, // 1:1; filled likewise
};

// What the preview looks and sounds like.
struct PreviewForm {
    PreviewShape shape = PreviewShape::wide;
    int longer_side_px = 640;
    double loudness_lufs = -14; // of the whole, as online players level it (common practice, no source)
    bool burn_in = false;       // shot number and timecode in the picture
};

} // namespace downball
