// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/model/media_info.h"
#include "downball/time/fraction.h"
#include "downball/time/rate.h"
#include "downball/time/tick.h"

namespace downball {

// How a list counts the frames of a file: by the file's own start label, in whole list frames. Source frames
// count from `first`, the last list frame at or before the label; the file's first picture lies `phase`
// frames after it, 0 <= phase < 1. So source frame n shows media second (n - phase) / rate, and an editor
// that goes by the label shows the same picture as one that goes by the file. A label of 50 frames a second,
// ...:13, lies at list frame 6.5 of 25: first 6, phase 1/2.
//
//   list frames    |first    |+1       |+2
//   the file            |zero               (phase = 1/2)
struct SourceCount {
    Rate rate; // of the list
    Frame first;
    Fraction phase;

    // Place of a media second, in frames from `first`, and the inverse.
    double position(double media_s) const { return media_s * rate.per_second() + phase.to_double(); }
    double media_s(double position) const { return (position - phase.to_double()) / rate.per_second(); }

    // First source frame not before, and last not after, that media second.
    Frame from(double media_s) const {
        return frame_from(media_s + phase.to_double() / rate.per_second(), rate);
    }
    Frame at(double media_s) const { return frame_at(media_s + phase.to_double() / rate.per_second(), rate); }
    Frame nearest(double media_s) const {
        return nearest_frame(media_s + phase.to_double() / rate.per_second(), rate);
    }
};

SourceCount count_source(const MediaInfo& media, Rate list);

} // namespace downball
