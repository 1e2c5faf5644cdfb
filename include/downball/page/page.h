// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/coverage/coverage.h"
#include "downball/model/beat_grid.h"
#include "downball/model/cut_plan.h"
#include "downball/model/limits.h"
#include "downball/model/shot_log.h"
#include "downball/model/timeline.h"
#include "downball/model/warning.h"
#include "downball/solve/left_out.h"

#include <map>
#include <string>
#include <vector>

// The cut to look at, before an editor is opened.
namespace downball::page {

struct PageInput {
    const Timeline& timeline; // built from the plan
    const CutPlan& plan;
    const BeatGrid& beats; // by the clock of the timeline's song
    const ShotLog& log;
    const Limits& limits;
    const coverage::Coverage& coverage;         // of the log and this cut
    std::string song{};                         // as people call it
    std::map<std::string, std::string> names{}; // of players, by the ids in the log
    std::vector<Warning> warnings{};
    std::vector<solve::LeftOut> left_out{};
    std::vector<float>
        waveform{}; // peaks of the song, 0..1, evenly from record start to its end; empty = not known
    std::map<Frame, std::string> stills{}; // JPEG files in base64, by record frame; see stills_wanted
    std::string movie{}; // file name of the preview, which lies beside the page; empty = none
};

// Record frames whose pictures the page shows: the first of each shot and those of its contacts. In order.
std::vector<Frame> stills_wanted(const Timeline& timeline);
inline constexpr int still_width_px = 224; // 126 high, 16:9 to the pixel

// One HTML file that needs nothing but the preview beside it, and reads without that. What comes from files and tags
// is text in it, whatever it holds. The same input gives the same bytes.
std::string review_page(const PageInput& input);

} // namespace downball::page
