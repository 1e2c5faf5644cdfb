// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "pipeline/moved.h"

#include "downball/analysis/listen.h"
#include "downball/shotlog/log.h"

#include <set>
#include <string>

namespace downball::pipeline {

// Gives clips that failed a stand-in in `surveyed`, as long as logged, so that their rows can be counted; in, out and
// marks that need the file itself are dropped. Rows of clips whose length the log does not tell are taken out. A
// note each. Returns the files that have one, as they stand in the log.
std::set<std::string> stand_in(shotlog::Log& log, analysis::Surveyed& surveyed, const Moved& moved,
                               const std::string& folder);

} // namespace downball::pipeline
