// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "solve/grid.h"

#include <array>
#include <string>
#include <vector>

namespace downball::solve {

// A take that may be used: its free source frames and what the terms want to know of it.
struct Clip {
    std::size_t take = 0; // index in ShotLog::takes
    std::size_t media = 0;
    bool action = false;
    bool cutaway = false;   // cutaway or establishing
    bool reaction = false;  // reaction or celebration
    std::int64_t first = 0; // source frames that may be shown: [first, last), handles left out
    std::int64_t last = 0;
    std::int64_t day = 0;         // first place in the day of its moment, or its own
    int moment = -1;              // number of its moment; -1 = none
    bool told = false;            // the contacts of the moment can be told apart, by number or by skill
    bool numbered = false;        // by number
    std::vector<double> contacts; // source frames of usable contacts, in order
    // Per contact: its number in the rally (Impact::event) where the whole moment has them, else skill x 64 + how
    // many of that skill came before in the take; -1 = not known.
    std::vector<int> contact_keys;
    std::vector<int> contact_skills;          // per contact: the skill, or -1
    std::vector<std::size_t> contact_impacts; // per contact: index in Take::impacts
    std::vector<std::size_t> plays;
    bool must = false;
    // Of rallies in real time and slowed ones, by contact and slot: the slot that the next contact takes if this one
    // hangs there; 0 = none.
    std::array<std::vector<std::uint16_t>, 2> next_slots;
};

// One way of using a clip, before it has a place: at a speed, hung by one of its contacts (actions) or free. A
// rally on the beat holds more contacts than that one, see rally.h; its speed is that of its edges, real time.
struct Play {
    std::size_t clip = 0;
    int impact = -1;     // index in Take::impacts; -1 = a shot that is no action
    int contact = -1;    // index in Clip::contacts
    int held = 1;        // successive contacts held on beats, from that one on
    bool slowed = false; // between them it runs slower than Rally::slowest
    double at = 0;       // the contact's picture in source frames
    double last_at = 0;  // of the last contact held
    Fraction speed{1};
    double v = 1; // speed, and the speed that an M2 line can say
    double m2 = 1;
    double v_least = 1;         // lowest speed at which any part of it runs
    std::int64_t lead_max = 0;  // longest lead at this speed
    std::int64_t shortest = 1;  // record frames, for this sort of shot
    bool slow = false;          // counts to the slow-motion share
    std::int64_t tail_safe = 0; // up to so many record frames after the last held, the tail is never too long
    bool tail_free = true;      // may run on after its last contact for as long as the shot may last
    int place = -1;             // of its contact in the order of play of its moment; -1 = not known
    bool early = false;         // the last contact held is known and no attack, block or dig
    double strength = 0;
    double confidence = 0;        // mean of the contacts held
    std::int64_t room_before = 0; // record frames at most before the contact and after the last held; one
    std::int64_t room_after = 0;  // frame generous
    std::vector<int> skills;      // shown, as counted by the quotas
    bool kept = false;            // the last cut has this shot
    std::vector<double> hung;     // record frames where the last cut hung it at this speed
};

// Does it hold this contact of its clip?
inline bool holds(const Play& play, std::size_t contact) {
    const auto number = static_cast<int>(contact);
    return play.contact >= 0 && number >= play.contact && number < play.contact + play.held;
}

// Do both hold a contact of one clip?
inline bool hold_same(const Play& a, const Play& b) {
    return a.clip == b.clip && a.contact >= 0 && b.contact >= 0 && a.contact < b.contact + b.held &&
           b.contact < a.contact + a.held;
}

// What cuts know the shot by: its contact's id, or, without contact, its take's.
inline const std::string& name_of(const Play& play, const Take& take) {
    return play.impact >= 0 ? take.impacts[static_cast<std::size_t>(play.impact)].id : take.id;
}
inline const std::string& name_of(const LastCut::Shot& shot) {
    return shot.action ? shot.id : shot.take;
}

struct Stock {
    std::vector<Clip> clips;
    std::vector<Play> plays;
    std::vector<std::string> moments;
    std::vector<std::int64_t> days; // per moment: first place in the day of its takes
    std::vector<bool> faces;        // per moment: is there a reaction or celebration to show?
    std::size_t players = 0;        // different players and skills the usable takes can show
    std::vector<std::string> player_names;
    std::vector<std::vector<int>> clip_players; // per clip: indices into player_names
    std::vector<int> skill_list;                // skills that plays can show, ascending
};

Stock make_stock(const Problem& problem, const Grid& grid);

// The speed at which a file of 1.9 times the list rate or more shows every picture once; nothing for slower files.
std::optional<Fraction> every_picture_once(const MediaInfo& media, Rate list);

// Record and source position of a contact held on a beat.
struct Placement {
    std::int64_t record_in = 0;
    std::int64_t source_in = 0;
    double error = 0; // record frames; positive = picture late. A rally: root mean square of its contacts
    std::int64_t span = 0; // a rally: record frames from its first beat to its last,
    std::int64_t skew = 0; // and how many source frames more are shown there
};

// All placements of an action play on a slot that is a beat, by growing lead; the opening shot, at record
// frame 0, may lead in for longer. Only those inside the clip's
// front end and within half a record frame of the beat; a tie goes to the early picture.
std::vector<Placement> placements(const Grid& grid, const Clip& clip, const Play& play, const Slot& slot);

// The one that begins at that record frame, if it is among them.
std::optional<Placement> placement_at(const Grid& grid, const Clip& clip, const Play& play, const Slot& slot,
                                      std::int64_t record_in);

// A rally on the beat keeps its contacts by the source frames at its joints, which an M2 line does not move.
// Does the contact of any other shot still meet its beat when the shot runs at the speed an M2 line can say?
bool holds_in_m2(const Play& play, const Slot& slot, const Placement& place);

// Is a rally whose slowest stretch has this speed one of the slowed ones?
inline bool is_slowed(const Rally& limits, Fraction speed) {
    return speed.to_double() < limits.slowest - 1e-9;
}

// Does the play run at the speed of a shot of the last cut, or hold as many contacts of a rally and is slowed, or not,
// like that?
bool runs_as(const Problem& problem, const Play& play, const LastCut::Shot& shot);
// Do two such shots run at the same speed, or hold as many contacts of a rally?
bool runs_alike(const LastCut::Shot& a, const LastCut::Shot& b, Rate rate);

// The least record frames after the last contact held, from `need` up, at which the longest tail can be kept: the
// frames between two contacts that lie far apart are left out. One frame generous; a value beyond
// room_after if there is none.
std::int64_t least_after(const Grid& grid, const Clip& clip, const Play& play, std::int64_t need);

// Source frames a shot takes up: record length x speed, rounded up.
std::int64_t source_length(std::int64_t record_length, Fraction speed);

} // namespace downball::solve
