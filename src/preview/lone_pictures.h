// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/long_work.h"
#include "downball/media/picture_reader.h"
#include "downball/model/timeline.h"

#include <functional>
#include <set>
#include <span>
#include <string>
#include <vector>

namespace downball::preview {

// Gives what record frames show to `take`, by the rule of the preview, in no order and from several threads at once.
// Frames outside the record are left out. A slate stands for what cannot be decoded; the notes say so, in the order
// of the record. Errors: of `take`, the first; a request to stop.
struct Lost {
    std::vector<std::string> notes;
    std::set<Frame> frames; // that a slate stands for
};
Result<Lost> take_pictures(const Timeline& timeline, std::span<const Frame> wanted,
                           media::PictureOptions form,
                           const std::function<Result<void>(Frame, const media::Picture&)>& take,
                           const LongWork& work);

} // namespace downball::preview
