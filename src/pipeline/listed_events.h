// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "pipeline/edited_list.h"

#include <algorithm>
#include <optional>
#include <string>
#include <vector>

namespace downball::pipeline {

inline constexpr double hair = 1e-4; // frames; so near to a tie or a border, a place is on it

// A run of one shot at one speed. Source frames count from the file's start label, record frames from record start.
struct Run {
    FrameRange record, source;
    Fraction speed{1};
};

// What an event of the picture track, or several that are one shot, says.
struct Shown {
    std::optional<std::size_t> media; // index in ShotLog::media; nothing: of no file of the log
    std::vector<Run> runs;            // one at least; neighbours run at different speeds
    std::string told;                 // our id, by metadata or a marker; may be that of another place by now
    std::string called;               // file, for people
    bool at_a_speed_of_ours = true;
    bool backwards = false; // or stands still

    FrameRange record() const { return {runs.front().record.in, runs.back().record.out}; }
    FrameRange source() const { return {runs.front().source.in, runs.back().source.out}; }
    bool retimed_by_parts() const { return runs.size() > 1; }
    bool shows(double at) const {
        return at >= static_cast<double>(source().in.n) - hair &&
               at < static_cast<double>(source().out.n) - hair;
    }
    // Record frames at which it shows a source position.
    double record_of(double at) const {
        auto run = std::find_if(runs.begin(), runs.end() - 1,
                                [&](const Run& r) { return at < static_cast<double>(r.source.out.n); });
        return static_cast<double>(run->record.in.n) +
               (at - static_cast<double>(run->source.in.n)) / run->speed.to_double();
    }
};

// Of the first picture track, in record order; black is none. Events of one file that go on in record and source are
// one, unless our names or marks tell two in real time apart.
std::vector<Shown> shown_in_list(const Returned& returned);

} // namespace downball::pipeline
