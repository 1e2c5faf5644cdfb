// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/model/cut_plan.h"
#include "downball/model/warning.h"
#include "downball/pipeline/talk.h"

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace downball::pipeline {

// Which sound file the lists refer to: NAME.song.wav, the song cut to length, or the song's own file.
enum class SongEvent { cut, original };

struct CutOptions {
    bool force = false; // overwrite outputs that are not ours or were changed since
    SongEvent song = SongEvent::cut;
    bool fresh = false;   // pay no heed to the last cuts
    int versions = 1;     // so many cuts of each length
    std::string from{};   // path of an edited list whose shots stay; empty: none
    bool preview = false; // NAME.mp4 too
    bool sheet = false;   // NAME.sheet.png too
    bool stills = true;   // decode the pictures that the page has not shown yet; else it goes without them
};

struct CutFigures {
    std::size_t shots = 0, contacts = 0;
    double score = 0, limit = 0, gap = 0; // see model/cut_plan.h
};

struct PreviewFigures {
    std::int64_t frames = 0;
    double lufs = -70, true_peak_db = -70; // of the movie as it is heard
};

struct CutDone {
    std::vector<std::string> files; // written, in the order to open them
    CutFigures figures;
    std::vector<Warning> warnings;
    std::optional<PreviewFigures> preview;
    std::vector<std::string> changes; // since the last cut, a line each; empty where there was none
};

// One of the cuts asked for.
struct Delivered {
    std::string name; // of its files
    std::variant<CutDone, Conflict> outcome;
};

// The whole job: reads job and log, listens to song and clips, solves, has the checker judge the cuts, writes EDL,
// OTIO, song, review page, preview, contact sheet and report of all cuts together or not at all. `job` is job.json or
// its folder.
// Each length of the job is a cut, each version of it another, which differs from those before. The report that
// the last run left of a cut is an input: the cut stays near to it, and where nothing has changed the last run's files
// are the answer, their warnings without places.
// A Conflict is an answer: the last outputs of that cut stay as they are, and the versions after it are not tried.
Result<std::vector<Delivered>> cut(const std::string& job, const CutOptions& options, const Talk& talk);

} // namespace downball::pipeline
