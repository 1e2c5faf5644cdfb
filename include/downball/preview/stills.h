// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/long_work.h"
#include "downball/base/result.h"
#include "downball/model/timeline.h"

#include <map>
#include <set>
#include <span>
#include <string>
#include <vector>

namespace downball::preview {

// Raised whenever the same frame of the same file may give another picture: kept stills go by it.
inline constexpr int still_version = 1;

struct StillForm {
    int width_px = 208; // the height is 9/16 of it; both even, rounded down
    int quality = 82; // see media/jpeg.h; so wide, a picture whose detail falls as 1/f has 7 kB, as most less
};

struct Stills {
    std::map<Frame, std::string> pictures; // JPEG files, by record frame from record start
    std::vector<std::string> notes;        // what could not be decoded, an event each
    std::set<Frame> lost;                  // frames that a slate stands for
};

// Pictures that record frames show, by the rule of the preview (see preview.h), decoded alone: the whole picture,
// black beside another shape than 16:9. One that cannot be decoded is a slate with the file's name, and a note.
// Frames may be in any order and come twice; those outside the record are left out.
// The same timeline and media give the same bytes. Errors: no JPEG can be made, a request to stop.
Result<Stills> stills(const Timeline& timeline, std::span<const Frame> wanted, const StillForm& form = {},
                      const LongWork& work = {});

// Stills of one name are the same bytes, whatever the cut: content of the file, instant and form. Letters, digits and
// '-'; empty where the frame shows no file, or one whose content nobody knows.
std::string still_name(const Timeline& timeline, Frame at, const StillForm& form = {});

} // namespace downball::preview
