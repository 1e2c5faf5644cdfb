// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "timeline/list_media.h"

#include "downball/base/text.h"

#include <filesystem>
#include <fmt/format.h>

namespace downball::timeline {

std::size_t MediaTable::add(const MediaInfo& info, const std::string& reel) {
    TimelineMedia entry;
    const std::filesystem::path path(info.path);
    entry.path = path.is_absolute() || folder_.empty()
                     ? info.path
                     : (std::filesystem::path(folder_) / path).lexically_normal().string();
    entry.name = info.name.empty() ? path.filename().string() : info.name;
    entry.id = info.id;
    entry.reel = reel;
    // By the frame count of the label: 01:00:00;00 of a drop-frame camera is its frame 107892 in any list.
    if (info.start) entry.first = convert(info.start->at, info.start->rate, rate_);
    entry.length = frame_at(info.duration_s, rate_);
    if (info.has_video) entry.rate = info.rate;
    entry.duration_s = info.duration_s;
    entry.has_video = info.has_video;
    entry.audio_channels = info.audio ? info.audio->channels : 0;
    if (info.start) look_at_start(info, entry);
    entries.push_back(std::move(entry));
    return entries.size() - 1;
}

void MediaTable::look_at_start(const MediaInfo& info, const TimelineMedia& entry) {
    const auto label = to_timecode(wrap_day(entry.first, rate_, counting_), rate_, counting_);
    if (!label) return;
    const bool kinds_differ = info.start->counting != counting_;
    const bool clocks_differ = label->substr(0, 8) != info.start->label.substr(0, 8);
    if (kinds_differ || clocks_differ)
        relabelled_.push_back(fmt::format(
            "{} starts at {} ({}, {}), which this list ({}, {}) calls {}", entry.name, info.start->label,
            to_string(info.start->rate), info.start->counting == Counting::drop ? "drop frame" : "non-drop",
            to_string(rate_), counting_ == Counting::drop ? "drop frame" : "non-drop", *label));
    if (seconds_of(entry.first, rate_) != seconds_of(info.start->at, info.start->rate))
        between_frames_.push_back(entry.name);
}

std::vector<std::string> MediaTable::notes() const {
    std::vector<std::string> notes = relabelled_;
    if (!between_frames_.empty())
        notes.push_back(fmt::format(
            "{}: the start label falls between two frames of the list's rate; an editor that counts "
            "from the camera's own label shows these files up to half a list frame away, and slowed "
            "shots of them by that divided by their speed",
            join(between_frames_, ", ")));
    return notes;
}

} // namespace downball::timeline
