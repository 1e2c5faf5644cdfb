// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "rally.h"
#include "synth.h"

namespace downball::sample {

// Single sounds of a beach court, at the level they have ten metres away; sample 0 is the instant itself.
Mono ball_hit(Skill skill, Prng dice);
Mono ball_on_sand(Prng dice);
Mono footstep(Prng dice);
Mono hand_clap(Prng dice);
Mono whistle(double length_s, Prng dice);
Mono shout(double length_s, Prng dice);

} // namespace downball::sample
