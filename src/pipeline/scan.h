// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/analysis/folder.h"
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
    analysis::Folder& kept;           // what was found before
};

// The clips of a log and of its footage, before anything is listened to.
struct CardClips {
    std::vector<std::string> logged; // paths of files that rows name
    std::vector<std::string> fresh;  // of those to be entered, sorted
    std::string skipped;             // what else lies there, in words; empty = nothing
    std::vector<std::string> notes;  // copies that were left out
};

// Errors: a folder that cannot be read, no clips at all, stopped on request.
Result<CardClips> find_clips(const Search& search, const text::CsvTable& log, const Talk& talk);

// What the clips turned out to be.
struct Scan {
    std::vector<shotlog::FoundClip> clips;
    std::vector<std::string> left_out; // files that look like clips but cannot be read
    std::vector<std::string> notes;    // what could not be listened to in the others
    std::size_t listened = 0;
};

// Listens to the clips, save those whose rows all have filled cells in `contacts`. Errors: none can be read, stopped on
// request.
Result<Scan> scan(const CardClips& clips, const Search& search, const text::CsvTable& log, const Talk& talk);

void tell(const CardClips& clips, const Talk& talk);
void tell(const Scan& found, const Talk& talk);

} // namespace downball::pipeline
