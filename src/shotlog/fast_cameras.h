// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/model/shot_log.h"
#include "downball/time/rate.h"

#include <string>
#include <vector>

namespace downball::shotlog {

// Of cameras that take more pictures a second than the list has, a note for each and each of its rates: how slow its takes
// run when each picture is shown once, the shutter that fits, and what is odd about them. Of takes that may be used.
std::vector<std::string> fast_camera_notes(const ShotLog& log, Rate list);

} // namespace downball::shotlog
