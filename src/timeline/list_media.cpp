// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "timeline/list_media.h"

#include "downball/base/text.h"
#include "downball/model/source_count.h"

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
    entry.moved_from = info.moved_from;
    // By the frame count of the label: 01:00:00;00 of a drop-frame camera is its frame 107892 in any list.
    const SourceCount count = count_source(info, rate_);
    entry.first = count.first;
    entry.phase = count.phase;
    entry.length = count.at(info.duration_s);
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
            "{}: starts at {} ({}, {}), which this list ({}, {}) calls {}", entry.name, info.start->label,
            to_string(info.start->rate), info.start->counting == Counting::drop ? "drop frame" : "non-drop",
            to_string(rate_), counting_ == Counting::drop ? "drop frame" : "non-drop", *label));
}

std::vector<std::string> MediaTable::notes() const {
    return relabelled_;
}

} // namespace downball::timeline
