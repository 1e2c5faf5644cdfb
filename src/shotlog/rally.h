// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/model/tags.h"

#include <optional>
#include <span>
#include <vector>

namespace downball::shotlog {

// A contact of a take, in seconds of real life.
struct RallyContact {
    double seconds = 0;
    double confidence = 0;
    double strength = 0;
    std::optional<double> hard = {}; // as Impact::hard
};

// How hard a skill is struck as a rule, 0..1.
double loudness(Skill skill);

// True if the skills, one a contact, follow each other at the times that are known of rallies.
bool in_time(std::span<const Skill> skills, std::span<const RallyContact> contacts);

// For each contact the index of the logged skill it is most likely to be; nothing for a contact that is none
// of them. Both are in order of play. Contacts may be false or of skills that are not logged, and logged
// skills may not have been heard; what speaks for a reading is the order of a rally, the time between its
// contacts, their confidence, how hard they sound and how likely they are hard skills. Ties go to the earlier
// contact.
std::vector<std::optional<std::size_t>> read_rally(std::span<const Skill> skills,
                                                   std::span<const RallyContact> contacts);

} // namespace downball::shotlog
