// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "preview/open_clip.h"

namespace downball::preview {

OpenClip::OpenClip(const Timeline& timeline, const VideoEvent& event, const media::PictureOptions& form)
    : media_(event.media), form_(form) {
    const TimelineMedia& file = timeline.media[*event.media];
    form_.rate = file.rate;
    form_.crop_centre = centre_of(event, form);
    auto reader = media::PictureReader::open(file.path, form_);
    if (reader)
        reader_ = std::move(*reader);
    else
        why_ = to_string(reader.error());
}

void OpenClip::expect(const std::vector<Fraction>& media_s) {
    if (reader_) reader_->expect(media_s);
}

Result<const media::Picture*> OpenClip::picture_at(Fraction media_s) {
    if (!reader_) return Error{Fault::bad_input, why_, ""};
    return reader_->picture_at(media_s);
}

} // namespace downball::preview
