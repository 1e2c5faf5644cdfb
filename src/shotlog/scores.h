// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/model/shot_log.h"

#include <string>
#include <vector>

namespace downball::shotlog {

// What in the scores of the takes, in the order of the log, cannot all be true, a sentence each: a rally that begins when
// its set is over; points that grow fewer within a set from one row of a camera to the next, as files go; two scores of one
// moment. No errors: rows may stand in another order than they were filmed.
std::vector<std::string> score_contradictions(const std::vector<Take>& takes);

} // namespace downball::shotlog
