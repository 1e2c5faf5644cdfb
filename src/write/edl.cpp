// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/write/edl.h"

#include "write/ascii.h"
#include "write/edl_entries.h"

#include "downball/model/m2.h"

#include <algorithm>
#include <fmt/format.h>

namespace downball::write {
namespace {

constexpr std::size_t most_events = 999; // three digits

class EdlText {
  public:
    EdlText(const Timeline& timeline, const EdlOptions& options)
        : timeline_(timeline), options_(options), line_end_(options.crlf ? "\r\n" : "\n") {}

    Result<std::string> list(const std::vector<EdlEntry>& entries, const std::string& title) {
        text_.clear();
        start_ = timeline_.start;
        if (options_.parts_from_start && !entries.empty()) start_ -= entries.front().record.in;
        line("TITLE: " + title);
        line(timeline_.counting == Counting::drop ? "FCM: DROP FRAME" : "FCM: NON-DROP FRAME");
        for (std::size_t i = 0; i < entries.size(); ++i)
            if (const auto done = event(i + 1, entries[i]); !done) return done.error();
        return std::move(text_);
    }

  private:
    void line(std::string_view content) {
        text_ += content;
        text_ += line_end_;
    }

    Result<std::string> label(Frame at) const { return to_timecode(at, timeline_.rate, timeline_.counting); }
    // Source clocks run over midnight and begin again.
    Result<std::string> source_label(Frame at) const {
        return label(wrap_day(at, timeline_.rate, timeline_.counting));
    }
    // M2 lines and markers have ':' in drop-frame lists too; readers stumble over ';' there.
    static std::string with_colons(std::string label) {
        std::ranges::replace(label, ';', ':');
        return label;
    }

    Result<void> event(std::size_t number, const EdlEntry& entry) {
        const std::string reel = entry.media ? timeline_.media[*entry.media].reel : "BL";
        const auto source_in = source_label(entry.source.in);
        const auto source_out = source_label(entry.source.out);
        const auto record_in = label(start_ + entry.record.in);
        const auto record_out = label(start_ + entry.record.out);
        for (const auto* each : {&source_in, &source_out, &record_in, &record_out})
            if (!*each)
                return Error{each->error().fault, each->error().what, fmt::format("EDL event {:03}", number)};
        line(fmt::format("{:03}  {:<8} {:<4}  {:<4} {:<3} {} {} {} {}", number, reel, entry.channel, "C", "",
                         *source_in, *source_out, *record_in, *record_out));
        if (entry.media && entry.speed != Fraction(1)) {
            const auto tenths = m2_tenths(entry.speed, timeline_.rate);
            if (tenths < 1 || tenths > 9999)
                return Error{Fault::bad_input,
                             fmt::format("an M2 line holds 000.1 to 999.9 frames a second, found {:.3f}",
                                         (entry.speed * timeline_.rate.value()).to_double()),
                             fmt::format("EDL event {:03}", number)};
            line(fmt::format("M2   {:<8} {:03}.{}          {}", reel, tenths / 10, tenths % 10,
                             with_colons(*source_in)));
        }
        if (entry.media) comments(timeline_.media[*entry.media], entry);
        return {};
    }

    void comments(const TimelineMedia& media, const EdlEntry& entry) {
        line("* FROM CLIP NAME: " + to_ascii(media.name));
        if (!media.moved_from.empty()) line("* MOVED SINCE IT WAS LOGGED"); // no path, see rule 11
        if (*entry.channel == 'A') line(fmt::format("* AUDIO CHANNELS: {}", media.audio_channels));
        if (!entry.shot.empty())
            line(fmt::format("* NATURAL SOUND OF {}, FADE {} FRAMES", to_ascii(entry.shot),
                             entry.fade_frames));
        if (!options_.markers) return;
        for (const Marker& marker : entry.markers)
            if (const auto at = label(start_ + marker.at); at)
                line(fmt::format("* LOC: {} {:<7} {}", with_colons(*at), entry.marker_colour,
                                 to_ascii(marker.name)));
    }

    const Timeline& timeline_;
    EdlOptions options_;
    const char* line_end_;
    Frame start_; // label of the cut's first frame, as this list counts
    std::string text_;
};

} // namespace

Result<std::vector<std::string>> edl(const Timeline& timeline, const EdlOptions& options) {
    const auto parts = edl_parts(timeline, most_events);
    EdlText writer(timeline, options);
    std::vector<std::string> lists;
    const std::string name = to_ascii(timeline.name);
    for (std::size_t i = 0; i < parts.size(); ++i) {
        const auto title =
            parts.size() == 1 ? name : fmt::format("{} PART {} OF {}", name, i + 1, parts.size());
        auto list = writer.list(parts[i], title);
        if (!list) return list.error();
        lists.push_back(std::move(*list));
    }
    return lists;
}

double m2_number(Fraction speed, Rate list_rate) {
    return static_cast<double>(m2_tenths(speed, list_rate)) / 10;
}

} // namespace downball::write
