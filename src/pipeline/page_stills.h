// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/job/job.h"
#include "downball/model/timeline.h"
#include "downball/page/page.h"
#include "downball/pipeline/talk.h"

#include <map>
#include <string>
#include <vector>

namespace downball::pipeline {

struct PageStills {
    std::map<Frame, page::Still> pictures;
    std::vector<std::string> notes; // what could not be decoded
};

// The pictures that the page of a cut shows. Those that the last page has are taken from there, if it stands as it was
// written, so that a cut that changed little decodes little; with `fresh` all are decoded.
Result<PageStills> page_stills(const job::Job& job, const Timeline& timeline, bool fresh, const Talk& talk);

} // namespace downball::pipeline
