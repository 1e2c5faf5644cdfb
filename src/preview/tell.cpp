// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "preview/tell.h"

#include "downball/base/notes.h"
#include "downball/preview/still_pictures.h"

#include <algorithm>
#include <fmt/format.h>
#include <string>

namespace downball::preview {

namespace {

std::string shots_in(const Timeline& timeline, FrameRange range) {
    constexpr std::size_t most = 4;
    std::vector<std::string> shots;
    for (const VideoEvent& event : timeline.video)
        if (event.media && event.record.overlaps(range) &&
            std::ranges::find(shots, event.shot) == shots.end())
            shots.push_back(event.shot);
    return some_of(shots, most);
}

// What is left of the ranges where others are taken out.
std::vector<FrameRange> without(std::vector<FrameRange> ranges, const std::vector<FrameRange>& others) {
    for (const FrameRange& other : others) {
        std::vector<FrameRange> left;
        for (const FrameRange& range : ranges) {
            if (!range.overlaps(other)) {
                left.push_back(range);
                continue;
            }
            if (range.in < other.in) left.push_back({range.in, other.in});
            if (other.out < range.out) left.push_back({other.out, range.out});
        }
        ranges = std::move(left);
    }
    return ranges;
}

std::vector<FrameRange> planned_black(const Timeline& timeline) {
    std::vector<FrameRange> ranges;
    for (const VideoEvent& event : timeline.video)
        if (!event.media) ranges.push_back(event.record);
    return ranges;
}

std::string seconds(const Timeline& timeline, FrameRange range) {
    return fmt::format("{:.2f} s", to_seconds(range.length(), timeline.rate));
}

} // namespace

// Pictures that are cut to beats may flash without any one of them doing so. Measured on what the preview shows, 640
// pixels wide; pieces smaller than a cell of it, and what an editor adds, are not.
std::vector<Warning> tell_flashes(const Timeline& timeline, const std::vector<FlashStretch>& flashes) {
    std::vector<Warning> notes;
    for (const FlashStretch& one : flashes) {
        const FrameRange at{one.first, one.last + Frame{1}};
        notes.emplace_back(fmt::format("from {} to {} it flashes{} {} times in a second, more than 3, "
                                       "which may harm people with photosensitive "
                                       "epilepsy (WCAG 2.3.1); shots {}",
                                       record_label(timeline, one.first), record_label(timeline, one.last),
                                       one.red ? " in red" : "", one.flashes, shots_in(timeline, at)),
                           at);
    }
    return notes;
}

std::vector<FrameRange> unplanned_black(const Timeline& timeline, const std::vector<FrameRange>& black) {
    auto left = without(black, planned_black(timeline));
    std::erase_if(left, [](FrameRange range) { return range.length() < Frame{2}; });
    return left;
}

std::vector<FrameRange> unplanned_stills(const Timeline& timeline, const std::vector<FrameRange>& frozen,
                                         const std::vector<FrameRange>& black,
                                         const std::vector<Warning>& told) {
    auto left = without(without(frozen, planned_black(timeline)), black);
    for (const Warning& slate : told)
        if (slate.at) left = without(std::move(left), {*slate.at});
    std::erase_if(left, [&](FrameRange range) { return !FreezeMeter::counts(range, timeline.rate); });
    return left;
}

std::vector<Warning> tell_black(const Timeline& timeline, const std::vector<FrameRange>& black) {
    std::vector<Warning> notes;
    for (const FrameRange& range : black)
        notes.emplace_back(fmt::format("from {} to {} the picture is black for {}; shots {}",
                                       record_label(timeline, range.in), record_label(timeline, range.out),
                                       seconds(timeline, range), shots_in(timeline, range)),
                           range);
    return notes;
}

std::vector<Warning> tell_frozen(const Timeline& timeline, const std::vector<FrameRange>& frozen) {
    std::vector<Warning> notes;
    for (const FrameRange& range : frozen)
        notes.emplace_back(fmt::format("from {} to {} the picture stands still for {}; shots {}",
                                       record_label(timeline, range.in), record_label(timeline, range.out),
                                       seconds(timeline, range), shots_in(timeline, range)),
                           range);
    return notes;
}

} // namespace downball::preview
