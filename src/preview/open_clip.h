// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/media/picture_reader.h"
#include "downball/model/timeline.h"

#include <optional>
#include <string>

namespace downball::preview {

// A file of the timeline, kept open as long as events of it follow one another.
class OpenClip {
  public:
    OpenClip() = default;
    OpenClip(const Timeline& timeline, std::size_t media, media::PictureOptions form);

    bool is_of(std::size_t media) const { return reader_ && media == media_; }
    void expect(const std::vector<Fraction>& media_s);
    // As PictureReader says; the error of a file that cannot be opened tells why.
    Result<const media::Picture*> picture_at(Fraction media_s);

  private:
    std::size_t media_ = 0;
    std::optional<media::PictureReader> reader_;
    std::string why_;
};

} // namespace downball::preview
