// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/model/song_hints.h"
#include "downball/pipeline/analyse.h"
#include "downball/time/rate.h"

#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace downball::cli {

struct NewCommand {
    std::string footage;
    std::string song;
    std::string into = ".";
    std::string name;    // empty: the footage folder's
    std::string copy_to; // empty: no copy
};
struct LogCommand {
    std::string job;
};
struct BeatsCommand {
    std::string song;
    bool json = false;
    SongHints hints;
};
struct ImpactsCommand {
    std::vector<std::string> clips;
    bool json = false;
    std::optional<double> floor;
    std::string out; // folder for analysis files; empty: print
    pipeline::Shard shard;
};
struct CutCommand {
    std::string job;
    bool force = false;
    std::string song = "cut";
    bool fresh = false;
    int versions = 1;
    std::string from;
    bool preview = false;
    bool sheet = false;
    bool no_stills = false;
};

struct ShowCommand {
    std::string list;
    std::string against;
    std::optional<Rate> rate;
};

struct CoverageCommand {
    std::string job;
    std::string score; // "12-9"; empty: not told
    int set = 1;
    std::string format = "text";
};

struct Options {
    std::variant<std::monostate, NewCommand, LogCommand, BeatsCommand, ImpactsCommand, CutCommand,
                 ShowCommand, CoverageCommand>
        command;
    bool quiet = false;
};

// Help or the version was asked for: text for stdout, exit 0.
struct Answer {
    std::string text;
};

// The command line as a value. Errors: Fault::usage.
Result<std::variant<Options, Answer>> parse_options(int argc, const char* const* argv);

} // namespace downball::cli
