// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/shotlog/log.h"

#include <map>
#include <span>
#include <stop_token>
#include <string>
#include <vector>

namespace downball::pipeline {

// Where the files of a log are that are not where it says. All by the file as it stands in the log.
struct Moved {
    std::map<std::string, std::string> found; // as it shall stand there now
    // Of those that are nowhere: what else has the name, or why it is in doubt; empty where nothing has.
    std::map<std::string, std::string> lost;
    std::vector<std::string> doubtful; // lines for an error: several files may be it; not of files never used
    std::vector<std::string> notes;    // copies, and what was found by its name alone
    std::string looked_in;             // the folders, in words; empty where nothing was missing
};

// Looks for the files of a log that are not there below the folders, each read once, and only if a file is
// missing; hidden files and folders are passed over, and links to folders are not followed. A file is found by
// its name (as spelled, else by another case), size and length, as far as the log tells them; without size and
// length only if no other file has the name. Files that other rows of the log have are not considered. Of several
// with one content the first by path is taken. `folder` is the job's. Errors: stopped on request.
Result<Moved> find_moved(std::span<const shotlog::LoggedFile> files, const std::string& folder,
                         std::vector<std::string> folders, const std::stop_token& stop);

// "A001.mp4 (cards/a -> /new/place), ..."; `most` are named.
std::string tell_moves(const std::map<std::string, std::string>& found, std::size_t most);

// What a cut tells of them; empty where none has moved.
std::string moved_note(const std::map<std::string, std::string>& found);

} // namespace downball::pipeline
