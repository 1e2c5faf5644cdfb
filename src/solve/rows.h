// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "solve/value.h"

#include <limits>
#include <string>
#include <vector>

namespace downball::solve {

// A linear condition over the whole cut: the sum of what its shots use of it is at most `most`. Conditions
// "at least n" are written with uses of -1 and most = -n. A soft row may be broken at `price` points a unit.
struct Row {
    enum class Kind { quota, must, lock, share, differ, file, point, moment, seen, fresh };
    Kind kind = Kind::quota;
    double use = 1; // of one shot, or of one record frame for share and file; of `differ` see RowUse
    double most = 0;
    double price = std::numeric_limits<double>::infinity();
    bool soft() const { return price < std::numeric_limits<double>::infinity(); }
    bool counts_frames() const { return kind == Kind::share || kind == Kind::file; }
};

// A contact that a play shows if it runs on so long after its own contact (0 = its own).
struct PassedContact {
    double after = 0; // record frames past the own contact after which it is surely shown
    std::size_t row = 0;
};

// What one shot of a play uses of a row.
struct RowUse {
    std::size_t row = 0;
    double use = 1;
};

struct Rows {
    std::vector<Row> rows;
    std::vector<std::vector<std::size_t>> of_clip;     // counted once a shot
    std::vector<std::vector<RowUse>> of_play;          // counted once a shot, besides those of its clip
    std::vector<std::vector<std::size_t>> length_of;   // per play: counted by record frame
    std::vector<std::vector<PassedContact>> passed_by; // per play, by growing `after`
};

// Rows of all limits that concern the cut as a whole, of use-once, and of the two soft terms that do.
Rows make_rows(const Setting& setting);

// A lock understood: the plays that satisfy it and where they must stand.
struct Pin {
    std::vector<std::size_t> plays;
    std::size_t clip = 0;
    int ordinal = 0; // of its clip's shots in record order; 0 = named by its contact
    std::optional<std::int64_t> record_in, source_in;
};
std::optional<Pin> read_pin(const Setting& setting, const Lock& lock); // nothing: names no shot that can be
std::vector<Pin> make_pins(const Setting& setting);                    // those that read_pin understands

} // namespace downball::solve
