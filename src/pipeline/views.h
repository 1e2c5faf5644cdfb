// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "pipeline/place.h"
#include "pipeline/render_preview.h"
#include "pipeline/review.h"

#include "downball/pipeline/cut.h"
#include "downball/preview/contact_sheet.h"

#include <optional>
#include <string>
#include <vector>

namespace downball::pipeline {

inline const std::string sheet_ending = ".sheet.png";

// A cut to be looked at, in as many ways as were asked for.
struct Views {
    std::optional<PreviewFile> movie; // one of the place's outputs already
    std::optional<preview::ContactSheet> sheet;
    std::string page;
};

// Adds what is found on the way to the warnings; the page has them all.
Result<Views> make_views(CutToReview cut, const CutOptions& options, Place& place,
                         std::vector<Warning>& warnings, const Talk& talk);

} // namespace downball::pipeline
