// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/model/media_info.h"
#include "downball/time/fraction.h"
#include "downball/time/rate.h"
#include "downball/time/tick.h"

#include <optional>

namespace downball::timeline {

// A shot as far as its pictures go: record frame k shows the last picture that is up at
// (source_in + (k + 1/2) x speed) / rate, in media seconds.
struct Showing {
    Fraction source_in; // list frames from the clip's zero
    Frame length;    // record frames
    Rate rate;       // of the list
};

// The first record frame (from the shot's start) at which two speeds may show different pictures of the
// file; nothing = every picture is the same. A file whose frame times are not known differs at once.
std::optional<Frame> first_difference(const Showing& shot, const FrameTable& frames, Fraction a, Fraction b);

} // namespace downball::timeline
