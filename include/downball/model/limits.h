// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/model/tags.h"
#include "downball/time/rate.h"
#include "downball/time/timecode.h"

#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

// What the user asks of a cut, as plain values with defaults. job.json fills them; the solver reads them.
namespace downball {

struct Delivery {
    Rate rate{25};
    Counting counting = Counting::non_drop;
    Frame start;                    // label of the first record frame, counted from 00:00:00:00
    std::optional<double> length_s; // nothing = as long as the song from its start
};

enum class CutOn { half_beat, beat, bar };

// Seconds of record time unless said otherwise.
struct Pacing {
    double shortest_s = 1.0 / 3; // one change per third of a second: a broadcaster's flash guide, facts D1.6
    double longest_s = 4.0;
    double lead_in_min_s = 0.083; // cut in before the contact, 2-8 frames at 24 (common practice)
    double lead_in_max_s = 0.333;
    double tail_s = 0.2;     // an action runs on at least so long after its last anchored contact
    double tail_max_s = 1.5; // and at most so long after the last contact it shows, unless it is a wide shot
    double shortest_cutaway_s = 0.8; // of shots without action: a place or a face wants reading
    double shortest_slow_s = 1.0;    // of slow motion: at a fifth of real time 0.4 s show nothing
    int handle_frames = 0;           // spare list frames wanted on both ends of each source range
    CutOn cut_on = CutOn::beat;      // where shots that are no actions may begin
};

struct Bounds {
    int at_least = 0;
    std::optional<int> at_most;
};

struct Variety {
    std::map<std::string, Bounds> players; // shots a player is seen in
    std::map<Skill, Bounds> skills;        // action shots that show a skill
    double slow_motion_share_max = 0.25;   // of record length
    double cutaway_share_max = 0.30;       // of record length: cutaways, establishing shots
    double reaction_share_max = 0.30;      // of record length: reactions, celebrations
    bool replays = false;                  // may a contact be shown again, later and differently?
    double confidence_floor = 0.5;         // contacts heard less surely than this anchor nothing
    double slowest = 0.2;                  // lowest speed a shot is played at, 1 = real time
};

// A rally on the beat: one shot holds several successive contacts on beats, between which it runs faster or slower.
struct Rally {
    int contacts_max = 4; // held in one shot; 1 = no such shots
    // Speeds between two contacts, 1 = real time. Only files from fast cameras go below `slowest`, down to every
    // picture once; that is slow motion.
    double slowest = 0.8;
    double fastest = 1.25;
};

enum class Order { free, chronological, story };

struct Story {
    Order order = Order::story;
};

// A shot that must stay: by its id (see PlannedShot::id), optionally at a place.
struct Lock {
    std::string shot;
    std::optional<Frame> record_in; // from record start
    std::optional<Frame> source_in; // list frames by the start label, see SourceCount
    int held = 0;                   // contacts of a rally on the beat, 1 = that one alone; 0 = any
};

// Another cut of the same material that this one must differ from.
struct OtherCut {
    std::string name;
    std::set<std::string> contacts; // ids of its shots that hang by a contact
    std::set<std::string> takes;    // takes of its other shots
    double shared_share_max = 0;    // share of this cut's shots that may be among them
};

// How much each soft term counts. Terms lie in 0..1 a shot before weighting; see solve/terms.h.
struct Weights {
    double sync = 1.0;       // contact near its beat, within the half frame that is allowed
    double accent = 1.0;     // strong contact on strong beat
    double confidence = 1.0; // sure contacts before doubtful ones
    double rating = 0.6;
    double rally = 0.4;    // several contacts of a rally on beats in one shot
    double pace = 2.5;     // shot length follows the song's energy; all others pull on single shots
    double variety = 1.0;  // no two alike in a row: player, size + angle, camera
    double reaction = 0.8; // a reaction directly after its own action
    double spread = 0.6;   // cutaways spread over the cut, between sets by preference
    double chronology = 0.3;
    double story = 0.6;    // establishing first, celebration last, peak at the song's arrival
    double side = 0.3;     // screen side kept across a cut, unless the ends were changed between
    double coverage = 0.8; // a player or skill not yet seen
    double fresh = 0.8;    // a take not shown before
    double keep = 1.0;     // nearness to the last cut, if there is one
};

struct Limits {
    Delivery delivery;
    Pacing pacing;
    Variety variety;
    Rally rally;
    Story story;
    Weights weights;
    std::vector<Lock> locks;
    std::set<std::string> bans; // contacts, by id, that no shot may hold on a beat
    std::vector<OtherCut> others;
};

} // namespace downball
