// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/media/picture_reader.h"
#include "downball/model/timeline.h"

#include <optional>
#include <string>

namespace downball::preview {

// The file of an event, kept open as long as events follow that keep the same of its pictures.
class OpenClip {
  public:
    OpenClip() = default;
    // The event has a file.
    OpenClip(const Timeline& timeline, const VideoEvent& event, const media::PictureOptions& form);

    bool serves(const VideoEvent& event) const {
        return reader_ && event.media == media_ && centre_of(event, form_) == form_.crop_centre;
    }
    void expect(const std::vector<Fraction>& media_s);
    // As PictureReader says; the error of a file that cannot be opened tells why.
    Result<const media::Picture*> picture_at(Fraction media_s);

  private:
    // Where nothing is cut off, all are the same.
    static double centre_of(const VideoEvent& event, const media::PictureOptions& form) {
        return form.fill ? event.crop_centre : form.crop_centre;
    }

    std::optional<std::size_t> media_;
    media::PictureOptions form_;
    std::optional<media::PictureReader> reader_;
    std::string why_;
};

} // namespace downball::preview
