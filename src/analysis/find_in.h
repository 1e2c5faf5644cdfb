// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/analysis/folder.h"
#include "downball/analysis/found.h"
#include "downball/base/long_work.h"

namespace downball::analysis {

// find_clip (listen.h) of a file whose content is known.
Result<ClipFound> find_in(const Identity& file, bool listen, Folder& folder, const LongWork& work);

} // namespace downball::analysis
