// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "preview/open_clip.h"

namespace downball::preview {

OpenClip::OpenClip(const Timeline& timeline, std::size_t media, media::PictureOptions form) : media_(media) {
    form.rate = timeline.media[media].rate;
    auto reader = media::PictureReader::open(timeline.media[media].path, form);
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
