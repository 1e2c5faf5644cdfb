// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/analysis/folder.h"
#include "downball/base/long_work.h"
#include "downball/base/result.h"

#include <set>
#include <string>
#include <vector>

namespace downball::pipeline {

// Those of the clips that are low-resolution copies of others among them: of the same name (whatever its case and
// ending, also with a suffix such as _proxy), in the same folder, the one above, one below or one beside, as long
// within a picture or 0.1 s, and with at most half the picture's area. Copies by their ending (card_files.h) need only
// have the digits of the name in common. A folder beside holds copies only if all its clips that have a namesake
// here are: two cameras count their files alike. A clip without a bigger twin is no copy, whatever it is called.
// Only clips that have a namesake are looked into. Errors: stopped on request.
Result<std::set<std::string>> find_proxies(const std::vector<std::string>& clips, analysis::Folder& kept,
                                           const LongWork& work = {});

} // namespace downball::pipeline
