// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/match/facts.h"
#include "downball/model/cut_plan.h"
#include "downball/model/limits.h"
#include "downball/model/shot_log.h"

#include <map>
#include <optional>
#include <string>
#include <vector>

// Who was filmed doing what, how, and from where; what is missing while there is still light.
namespace downball::coverage {

// What is asked about. A take counts where it may be used: not `never`, not for its sound alone.
struct Footage {
    const ShotLog& log;
    const Limits& limits;
    std::map<std::string, std::string> roster; // player -> team; empty: the players that the log has
    std::map<std::string, std::string> places; // camera -> where it stands; a camera without one: its id
    const LastCut* cut = nullptr;
};

// Takes that show something, and shots of the last cut. Seconds of takes are those that may be used; of shots, record time.
struct Count {
    int takes = 0;
    double take_s = 0;
    int shots = 0;
    double shot_s = 0;
};

// Counts by two tags. A take is counted in each row and column that it has, so that cells may add up to more than all takes.
struct Grid {
    std::string name, row_tag, column_tag;
    std::vector<std::string> rows, columns;
    std::vector<Count> cells; // row by row
    bool full = true;         // a take is wanted in each cell

    const Count& at(std::size_t row, std::size_t column) const {
        return cells[row * columns.size() + column];
    }
};

// Something that no take shows. `points`: about what it would add to the score of a cut, see solve/terms.h; `asked`:
// the job's limits want it, so that without it there may be no cut.
struct Gap {
    std::string what;
    std::string why;
    double points = 0;
    bool asked = false;
};

// A rally that takes show, by the score when it began.
struct Rally {
    int set = 1;
    Score score;
    std::string left;               // team on the left end; empty = not known, as in Take
    std::string serving, server;    // team and player; empty = not known
    std::vector<std::string> takes; // by id
};

struct Coverage {
    Count all; // takes and shots
    std::vector<Grid> grids;
    Count slow_motion;          // takes of fast cameras, conformed or not
    std::vector<Gap> gaps;      // the most wanted first
    std::vector<Rally> rallies; // in the order of play
};

Coverage cover(const Footage& footage);

// The next change of ends, from the score of a running set.
struct NextChange {
    int set = 1;
    Score score;
    int in_points = 0;           // 0: the set is over
    int at_sum = 0;              // of the points then; 0: the set is over
    bool may_end_before = false; // the set can be over sooner
    bool change_now = false;     // before the rally that starts at this score the teams change ends,
    bool time_out_now = false;   // and the technical time-out is held
    int time_out_in_points = 0;  // until the technical time-out; 0: none to come
    bool of_match = false;       // the facts name the teams
    std::string left;            // team on the left end in the next rally; empty = not known
    std::string set_point;       // who ends the set with the next point; empty: nobody
    std::string won;             // whose the set is; empty: it runs on
};
// Teams that the facts do not name are the first and the second team, as their points stand in the score.
// Errors: a score that a set cannot have.
Result<NextChange> next_change(int set, Score score, const match::Facts& facts = {});

std::string table(const Coverage& coverage, const std::optional<NextChange>& next);
// A row a cell: table, row, column, takes, take_s, shots, shot_s; of rallies a row by the team on the left and one by
// the server, in `column`; of gaps what is missing in `row`, why in `column`, without numbers.
std::string csv(const Coverage& coverage);
std::string json(const Coverage& coverage, const std::optional<NextChange>& next);
// One page to print: grids with empty boxes where a take is missing, gaps to tick off.
std::string checklist(const Coverage& coverage, const std::optional<NextChange>& next,
                      const std::string& title);

} // namespace downball::coverage
