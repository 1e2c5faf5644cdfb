// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/analysis/folder.h"
#include "downball/base/result.h"
#include "downball/model/timeline.h"
#include "downball/pipeline/talk.h"

#include <map>
#include <string>
#include <vector>

namespace downball::pipeline {

struct PageStills {
    std::map<Frame, std::string> pictures; // JPEG files in base64, by record frame
    std::vector<std::string> notes;        // what could not be decoded
};

// The pictures that the page of a cut shows. What the folder has of them is taken from there, so that a cut that
// changed little decodes little; with `decode` false the others are left out.
Result<PageStills> page_stills(const Timeline& timeline, bool decode, analysis::Folder& kept,
                               const Talk& talk);

} // namespace downball::pipeline
