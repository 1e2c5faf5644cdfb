// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/pipeline/talk.h"
#include "downball/shotlog/log.h"

#include <string>
#include <vector>

namespace downball::pipeline {

// Where to look for the clips of a log.
struct Search {
    std::vector<std::string> footage; // folders and files
    std::vector<std::string> own;     // files and folders of the job itself, which are no footage
    std::string folder;               // the job's, from which paths are written
    double floor = 0;                 // contacts are listened for from this confidence up
};

// What was found.
struct Scan {
    std::vector<shotlog::FoundClip> clips;
    std::vector<std::string> left_out; // files that look like clips but cannot be read
    std::vector<std::string> notes;    // what could not be listened to in the others
    std::string skipped;               // what else lies there, in words; empty = nothing
    std::size_t listened = 0;
};

// Finds the clips below the footage folders and those that rows of the log name, and listens to those that have an empty
// cell in `contacts`. Errors: a folder that cannot be read, no clips, none that can be read, stopped on request.
Result<Scan> scan(const Search& search, const text::CsvTable& log, const Talk& talk);

void tell(const Scan& found, const Talk& talk);

} // namespace downball::pipeline
