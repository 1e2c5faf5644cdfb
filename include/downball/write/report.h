// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/model/beat_grid.h"
#include "downball/model/cut_plan.h"
#include "downball/model/limits.h"
#include "downball/model/shot_log.h"
#include "downball/model/song_cut.h"
#include "downball/model/timeline.h"

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace downball::write {

// The song cut to length, and the file it was written to.
struct SongAsCut {
    SongCut cut;
    std::string original;    // path of the song's own file
    std::string original_id; // hash of its content
    int rate_hz = 0;
    int channels = 0;
    std::int64_t samples = 0;
    double gain_db = 0;            // 0, or how far it was turned down to keep clear of clipping
    std::size_t beats_in_song = 0; // of all of it
};

// An edited list that the cut was made from.
struct FromList {
    std::string list;                 // path
    std::string hash;                 // of its content
    std::vector<std::string> removed; // taken out by hand: contacts by id, shots without action by their take
    std::vector<std::string> told;    // what it was understood as, for people
};

struct ReportInput {
    const Timeline& timeline; // built from the plan: its picture events are the plan's shots, in order
    const CutPlan& plan;
    const BeatGrid& beats;
    const ShotLog& log;
    const Limits& limits;
    std::string song_path;
    std::vector<std::string> warnings;
    std::vector<std::pair<std::string, std::string>> outputs; // file name, content hash
    std::optional<SongAsCut> song_as_cut{};                   // nothing: the lists play the song's own file
    std::vector<std::pair<std::string, std::string>>
        kept{}; // of earlier runs: not written now, left as they are
    std::optional<FromList> from_list{};
    std::map<std::size_t, std::string> why_left_out{}; // by take that the cut does not show: index in its log
};

// NAME.report.json: each shot, each sync error in seconds and record frames, the score's terms, proven limit
// and gap, takes left out, warnings. Errors are those of the lists as written: with the song from the whole
// frame it begins on and each shot at the speed its event has. Fits schemas/report.schema.json.
std::string report(const ReportInput& input);

} // namespace downball::write
