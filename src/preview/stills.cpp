// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/preview/stills.h"

#include "preview/lone_pictures.h"

#include "downball/media/jpeg.h"

#include <algorithm>
#include <mutex>

namespace downball::preview {

Result<Stills> stills(const Timeline& timeline, std::span<const Frame> wanted, const StillForm& form,
                      const LongWork& work) {
    media::PictureOptions pictures;
    pictures.width = std::max(2, form.width_px / 2 * 2);
    pictures.height = std::max(2, form.width_px * 9 / 32 * 2);
    Stills made;
    std::mutex mutex;
    const auto take = [&](Frame at, const media::Picture& picture) -> Result<void> {
        auto jpeg = media::to_jpeg(picture, form.quality);
        if (!jpeg) return jpeg.error();
        const std::lock_guard lock(mutex);
        made.pictures[at] = std::move(*jpeg);
        return {};
    };
    auto notes = take_pictures(timeline, wanted, pictures, take, work);
    if (!notes) return notes.error();
    made.notes = std::move(*notes);
    return made;
}

} // namespace downball::preview
