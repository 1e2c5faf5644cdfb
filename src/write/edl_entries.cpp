// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "write/edl_entries.h"

#include <algorithm>

namespace downball::write {
namespace {

// The piece of a real-speed event inside a stretch of the record side; empty if there is none.
EdlEntry piece(const AudioEvent& event, const char* channel, FrameRange stretch) {
    EdlEntry entry;
    entry.channel = channel;
    entry.media = event.media;
    entry.record = {std::max(event.record.in, stretch.in), std::min(event.record.out, stretch.out)};
    entry.source = {event.source.in + (entry.record.in - event.record.in),
                    event.source.out - (event.record.out - entry.record.out)};
    entry.shot = event.shot;
    entry.fade_frames = event.fade_frames;
    return entry;
}

class Parts {
  public:
    Parts(const Timeline& timeline, std::size_t most) : timeline_(timeline), most_(most) {}

    std::vector<std::vector<EdlEntry>> all() {
        const auto& video = timeline_.video;
        std::vector<std::vector<EdlEntry>> parts;
        std::size_t begin = 0;
        while (begin < video.size()) {
            std::size_t end = begin + 1;
            while (end < video.size() && count(begin, end + 1) <= most_)
                ++end;
            parts.push_back(part(begin, end));
            begin = end;
        }
        return parts;
    }

  private:
    FrameRange stretch(std::size_t begin, std::size_t end) const {
        return {timeline_.video[begin].record.in, timeline_.video[end - 1].record.out};
    }

    static std::size_t overlapping(const std::vector<AudioEvent>& events, FrameRange range) {
        const auto first =
            std::ranges::upper_bound(events, range.in, {}, [](const AudioEvent& e) { return e.record.out; });
        const auto last =
            std::ranges::lower_bound(events, range.out, {}, [](const AudioEvent& e) { return e.record.in; });
        return last > first ? static_cast<std::size_t>(last - first) : 0;
    }

    std::size_t count(std::size_t begin, std::size_t end) const {
        const FrameRange range = stretch(begin, end);
        return end - begin + overlapping(timeline_.song, range) + overlapping(timeline_.natural, range);
    }

    std::vector<EdlEntry> part(std::size_t begin, std::size_t end) const {
        const FrameRange range = stretch(begin, end);
        std::vector<EdlEntry> entries;
        for (std::size_t i = begin; i < end; ++i) {
            const VideoEvent& event = timeline_.video[i];
            EdlEntry entry;
            entry.media = event.media;
            entry.record = event.record;
            entry.source = event.source;
            entry.speed = event.speed;
            entry.markers = event.contacts;
            entries.push_back(std::move(entry));
        }
        for (const AudioEvent& event : timeline_.song) {
            EdlEntry entry = piece(event, "A", range);
            if (entry.record.empty()) continue;
            entry.marker_colour = "BLUE";
            for (const Marker& marker : timeline_.sections)
                if (entry.record.contains(marker.at)) entry.markers.push_back(marker);
            entries.push_back(std::move(entry));
        }
        for (const AudioEvent& event : timeline_.natural) {
            EdlEntry entry = piece(event, "A2", range);
            if (!entry.record.empty()) entries.push_back(std::move(entry));
        }
        // Stable: at one record frame the order of the tracks above stays.
        std::ranges::stable_sort(entries, {}, [](const EdlEntry& e) { return e.record.in; });
        return entries;
    }

    const Timeline& timeline_;
    std::size_t most_;
};

} // namespace

std::vector<std::vector<EdlEntry>> edl_parts(const Timeline& timeline, std::size_t most) {
    return Parts(timeline, most).all();
}

} // namespace downball::write
