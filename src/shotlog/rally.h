// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "shotlog/rally_ways.h"

#include "downball/model/tags.h"

#include <map>
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

// Reads rallies one after another. What follows from the skills alone is worked out once for those that come again, as
// "set attack" does in hundreds of rows.
class RallyReader {
  public:
    // For each contact the index of the logged skill it is most likely to be; nothing for a contact that is none
    // of them. Both are in order of play. Contacts may be false or of skills that are not logged, and logged
    // skills may not have been heard; what speaks for a reading is the order of a rally, the time between its
    // contacts, their confidence, how hard they sound and how likely they are hard skills. Ties go to the earlier
    // contact.
    std::vector<std::optional<std::size_t>> read(std::span<const Skill> skills,
                                                 std::span<const RallyContact> contacts);

  private:
    std::map<std::vector<Skill>, RallyWays> ways_;
};

} // namespace downball::shotlog
