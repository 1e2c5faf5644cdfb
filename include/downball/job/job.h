// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/match/facts.h"
#include "downball/model/limits.h"
#include "downball/model/preview_form.h"
#include "downball/model/song_hints.h"

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace downball::job {

struct Song {
    std::string file;              // as written; relative to the job's folder
    std::optional<double> start_s; // song instant at record start; nothing = the tool chooses
    std::optional<bool> jump;      // an inner jump: asked for, forbidden, or (nothing) where it helps
    std::string licence;           // the user's note on the right to use it; empty = warned about
    SongHints hints;
};

struct Camera {
    std::string name;
    double sound_offset_s = 0;        // sound later than picture by this much in this camera's files
    std::optional<double> distance_m; // for takes that say none
    std::optional<double> capture_fps;
    std::optional<double> clock_offset_s; // added to this camera's clock gives the day's; nothing = not known
    std::string sound_from;               // the camera whose files hear for this one's silent clips; or empty
};

struct Player {
    std::string team;
    std::string name; // as people write it, "Mara Kjell"; may be empty
};

using match::SetStart;
using Match = match::Facts; // what the log's scores need to tell ends and servers

enum class LineEnd { crlf, lf };

struct Lists {
    LineEnd line_end = LineEnd::crlf; // of the EDL
    bool parts_from_start = false;    // of a split EDL: each begins at the start timecode
    bool reels_from_card = false;     // reels that the cameras wrote, before those from file names
    bool absolute_urls = false;       // OTIO target_url: relative to the .otio, or file:///
    std::optional<std::pair<std::string, std::string>>
        media_root; // {from, to}: footage as the editor sees it
};

// Where what was found in clips and songs is kept for the next run.
struct Analysis {
    std::string folder = "analysis"; // empty: nothing is kept
    int most_mb = 500;               // what was not used for the longest time is dropped beyond it
};

struct Sound {
    double air_temperature_c = 20;
    bool natural = true; // natural sound of the hits on A2
    int fade_frames = 2;
    int j_cut_frames = 0; // natural sound begins so much before its picture,
    int l_cut_frames = 0; // and runs on so much after it
};

// job.json as values. Paths stand as written; `folder` is where job.json lies and what they are relative to.
struct Job {
    std::string folder;
    std::string name = "reel";
    Song song;
    std::vector<std::string> footage;
    std::string log = "log.csv";
    std::string out = "out";
    std::map<std::string, Player> players; // roster, by the ids in the log
    Match match;
    std::map<std::string, Camera> cameras;
    Limits limits;
    std::vector<double> lengths_s; // a cut for each, in place of delivery.length_s
    double versions_differ = 0.5;  // share of shots in which versions of a cut differ at least
    Sound sound;
    Lists lists;
    PreviewForm preview;
    Analysis analysis;
};

// Errors are Fault::bad_input; `where` is "PATH:line" for broken JSON, "PATH /json/pointer" for a value that
// does not fit the schema or makes no sense (a rate without timecode, shortest over longest).
Result<Job> read_job(std::string_view text, const std::string& path);

// A job.json to start from: the song and folders given, everything else at its default and visible. What files
// cannot be called by is taken out of `name`.
// `cameras` are those of the footage; what is known of their clocks is offered, the rest is there to be filled.
std::string starter_job(const std::string& song, const std::vector<std::string>& footage,
                        const std::string& name, const std::map<std::string, Camera>& cameras = {});

} // namespace downball::job
