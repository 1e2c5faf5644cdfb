// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/preview/stills.h"

#include "preview/lone_pictures.h"
#include "preview/shown.h"

#include "downball/media/jpeg.h"

#include <algorithm>
#include <fmt/format.h>
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
    auto lost = take_pictures(timeline, wanted, pictures, take, work);
    if (!lost) return lost.error();
    made.notes = std::move(lost->notes);
    made.lost = std::move(lost->frames);
    return made;
}

std::string still_name(const Timeline& timeline, Frame at, const StillForm& form) {
    for (const VideoEvent& event : timeline.video) {
        if (!event.record.contains(at) || !event.media) continue;
        const TimelineMedia& file = timeline.media[*event.media];
        if (file.id.empty()) return {};
        const Fraction shown = shown_s(event, file, timeline.rate, at - event.record.in);
        return fmt::format("{}-{}-{}-{}-{}", file.id, shown.num(), shown.den(), form.width_px, form.quality);
    }
    return {};
}

} // namespace downball::preview
