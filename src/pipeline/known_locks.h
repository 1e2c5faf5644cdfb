// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/model/limits.h"
#include "downball/model/shot_log.h"

#include <string>
#include <vector>

namespace downball::pipeline {

// Locks name contacts by the instant at which they were first heard. Where a lock's contact is none of its take's,
// but lies within 20 ms of one, it is that one, heard anew: the lock gets its id, and a note of the log says so.
// Errors: locks whose id nothing in the log has, with the nearest id that there is; `job` names the file.
Result<void> know_locks(std::vector<Lock>& locks, ShotLog& log, const std::string& job);

} // namespace downball::pipeline
