// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/long_work.h"
#include "downball/base/result.h"
#include "downball/model/timeline.h"

#include <string>
#include <vector>

namespace downball::preview {

// One shot on a contact sheet. Texts are UTF-8 of any script and length.
struct SheetTile {
    Frame shows; // record frame whose picture stands for the shot
    std::string number, label, what;
    std::vector<std::string> players;
};

struct SheetTexts {
    std::string name;  // of the reel
    std::string about; // the line below
    std::vector<SheetTile> tiles;
};

struct ContactSheet {
    std::string png;                // the file
    std::vector<std::string> notes; // what could not be decoded, a shot each
};

// All shots at a glance, for a telephone held upright: 1080 pixels wide, three tiles a row, each the picture over its
// caption. The height grows with the shots. More than 60 shots would make a strip that nobody scrolls: up to 240 stand
// six a row on a sheet 2160 wide, to zoom into; still more as many as keep its shape, smaller, so that the sheet stays
// within some 14000 pixels, and so within what PNG readers and cairo take (32767). Pictures by the rule of the
// preview, whole; a slate where one cannot be decoded. What a text has no room for is left out at its end, with
// ellipsis points. The same values, media and fonts give the same bytes.
// Errors: no memory, a request to stop.
Result<ContactSheet> contact_sheet(const Timeline& timeline, const SheetTexts& texts,
                                   const LongWork& work = {});

} // namespace downball::preview
