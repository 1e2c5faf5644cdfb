// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "preview/lettering.h"

#include "downball/media/picture.h"
#include "downball/model/timeline.h"

#include <map>
#include <string>

namespace downball::preview {

// Number of the shot, from 1 in the order of the record, and timecode of the record, on a dark plate in the lower left
// corner, inside what every screen shows (EBU R 95: 5 % from the edges; from memory). Each character is drawn once.
class BurnIn {
  public:
    // Of pictures of this size. The timeline outlives it.
    BurnIn(const Timeline& timeline, int width, int height);
    void draw(media::Picture& picture, Frame at) const;
    // What it says of a record frame.
    std::string text(Frame at) const;

  private:
    const Timeline& timeline_;
    std::map<Frame, std::size_t> numbers_; // of the shot that begins there
    std::map<char, Letters> letters_;
    int pad_, left_, bottom_; // pixels, even
};

} // namespace downball::preview
