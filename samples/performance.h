// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "rally.h"

namespace downball::sample {

// Where things are at an instant of a rally, in seconds from its serve (before it: negative).
Stance stance_at(const Rally& rally, int player, double at_s);

struct Ball {
    Vec3 at, velocity;
};
Ball ball_at(const Rally& rally, double at_s);

const Look& look_of(int player);

} // namespace downball::sample
