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

// Files of a log that have another name now.
struct Renamed {
    std::map<std::string, std::string> found; // by the file as it stands in the log: as it shall stand there
    std::vector<std::string> notes;           // where several may be it
};

// Looks among clips that no row names for those files of the log that are not there: one with pictures, of exactly the
// size and the length that the log tells, is it, if it is the only one and no other file of the log may be it as well.
// `folder` is the job's. Errors: stopped on request.
Result<Renamed> find_renamed(std::span<const shotlog::LoggedFile> files, const std::string& folder,
                             const std::vector<std::string>& fresh, const std::stop_token& stop);

// "A.mp4 is called B.mp4 now, ... (same size and length)"; empty where none is.
std::string tell_renamed(const std::map<std::string, std::string>& found);

// One line on the files of the log that have another size than logged, with what to do; empty where none has.
std::string tell_changed(std::span<const shotlog::LoggedFile> files, const std::string& folder);

} // namespace downball::pipeline
