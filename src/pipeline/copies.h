// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/analysis/folder.h"
#include "downball/base/long_work.h"
#include "downball/base/result.h"

#include <map>
#include <string>
#include <vector>

namespace downball::pipeline {

// Those of the new clips that have the content (MediaInfo::id) of a clip of the log or of an earlier new one, each with
// the path of the clip it is a copy of. Only files of one size are looked into. Errors: stopped on request.
Result<std::map<std::string, std::string>> find_copies(const std::vector<std::string>& logged,
                                                       const std::vector<std::string>& fresh,
                                                       analysis::Folder& kept, const LongWork& work = {});

// "2 files are copies of others and were left out: b/x.mp4 is a/x.mp4, ..."; empty where there are none. Paths as they
// are written from `folder`.
std::string tell_copies(const std::map<std::string, std::string>& copies, const std::string& folder);

} // namespace downball::pipeline
