// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/model/beat_grid.h"
#include "downball/model/cut_plan.h"
#include "downball/model/limits.h"
#include "downball/model/shot_log.h"
#include "downball/model/timeline.h"

#include <string>
#include <utility>
#include <vector>

namespace downball::write {

struct ReportInput {
    const Timeline& timeline; // built from the plan: its picture events are the plan's shots, in order
    const CutPlan& plan;
    const BeatGrid& beats;
    const ShotLog& log;
    const Limits& limits;
    std::string song_path;
    std::vector<std::string> warnings;
    std::vector<std::pair<std::string, std::string>> outputs; // file name, content hash
};

// NAME.report.json: each shot, each sync error in seconds and record frames, the score's terms, proven limit
// and gap, takes left out, warnings. Errors are those of the lists as written: with the song from the whole
// frame it begins on and each shot at the speed its event has. Fits schemas/report.schema.json.
std::string report(const ReportInput& input);

} // namespace downball::write
