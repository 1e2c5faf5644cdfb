// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "impacts/curve_model.h"
#include "impacts/pick.h"

#include "downball/model/heard.h"

#include <span>
#include <vector>

namespace downball::impacts {

struct InRally {
    double gain = 0; // log-odds over those of the same sound with no other around it
    double hard = 0; // probability that it is a serve, an attack or a block, if it is a contact
};

// What a clip's contacts, in order of time, make of each other. A hidden semi-Markov model of play: from one
// contact to the next in the times that a ball flies (flight_times), one of them unheard at times, or after
// any time when play begins anew; in each the forward-backward algorithm weighs every way to read the clip
// (Rabiner, "A tutorial on hidden Markov models", Proc. IEEE 1989; Yu, "Hidden semi-Markov models",
// Artificial Intelligence 2010).
std::vector<InRally> read_rallies(std::span<const Scored> contacts);

// What the last judgement rests on.
FeatureVector rally_features(const Scored& contact, const InRally& in_rally);

// Numbers the rallies of the contacts at or above default_floor; the others keep -1. A rally goes on as long as
// no more than two of the longest flights lie between two of them.
void count_rallies(std::vector<Heard>& contacts);

} // namespace downball::impacts
