// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/read/table.h"

#include "read/labels.h"
#include "read/tracks.h"

#include "downball/base/text.h"

#include <algorithm>
#include <array>
#include <fmt/format.h>

namespace downball::read {
namespace {

constexpr std::size_t columns = 8;
using Row = std::array<std::string, columns>;

// Characters of valid UTF-8, so that names with accents stand in their column.
std::size_t width(std::string_view text) {
    return static_cast<std::size_t>(
        std::ranges::count_if(text, [](char c) { return (static_cast<unsigned char>(c) & 0xC0) != 0x80; }));
}

std::string speed_text(const ListedEvent& event) {
    return event.retimed ? fmt::format("{:.4g}", event.speed) : "";
}

Row row(const CutList& list, const ListedEvent& event) {
    std::vector<std::string> marks;
    for (const ListedMark& mark : event.marks)
        marks.push_back(fmt::format("{} {}", label_text(mark.at, list), mark.text));
    return {label_text(event.record.in, list),
            label_text(event.record.out, list),
            std::to_string(event.record.length().n),
            event.black ? "black" : event.reel,
            event.file,
            event.black ? "" : label_text(event.source.in, list),
            speed_text(event),
            join(marks, "; ")};
}

std::string lines(const std::vector<Row>& rows) {
    std::array<std::size_t, columns> widths{};
    for (const Row& its : rows)
        for (std::size_t c = 0; c < columns; ++c)
            widths[c] = std::max(widths[c], width(its[c]));
    std::string text;
    for (const Row& its : rows) {
        std::string line;
        for (std::size_t c = 0; c < columns; ++c) {
            const std::string blanks(widths[c] - width(its[c]), ' ');
            line += "  ";
            line += c == 2 ? blanks + its[c] : its[c] + blanks; // lengths end in one column
        }
        text += line.substr(0, line.find_last_not_of(' ') + 1) + "\n";
    }
    return text;
}

} // namespace

std::string table(const CutList& list) {
    Frame end = list.start;
    for (const ListedEvent& event : list.events)
        end = std::max(end, event.record.out);
    std::string text =
        fmt::format("{}: {} frames a second{}, from {} to {}\n", list.name, to_string(list.rate),
                    list.counting == Counting::drop ? ", drop frame" : "", label_text(list.start, list),
                    label_text(end, list));
    const auto tracks = by_track(list);
    for (std::size_t t = 0; t < tracks.size(); ++t) {
        const TrackEvents& events = tracks[t];
        text += fmt::format("\n{} ({}), {} event{}\n", list.tracks[t].name,
                            list.tracks[t].picture ? "picture" : "sound", events.size(),
                            events.size() == 1 ? "" : "s");
        std::vector<Row> rows{
            {"record in", "record out", "frames", "reel", "file", "source in", "speed", "marks"}};
        for (const ListedEvent* event : events)
            rows.push_back(row(list, *event));
        text += lines(rows);
    }
    return text;
}

std::string to_line(const Breach& breach) {
    return fmt::format("{}: {} (rule {})", breach.place, breach.what, breach.rule);
}

std::string to_lines(const std::vector<Difference>& differences, const CutList& list) {
    const auto count = [](std::int64_t frames) {
        return fmt::format("{} {}", frames, frames == 1 ? "frame" : "frames");
    };
    std::string text, sums;
    std::int64_t of_track = 0;
    for (std::size_t n = 0; n < differences.size(); ++n) {
        const Difference& its = differences[n];
        text += fmt::format("{} {}, {}: {} | {}\n", its.track, label_text(its.record.in, list),
                            count(its.record.length().n), its.first, its.second);
        of_track += its.record.length().n;
        if (n + 1 < differences.size() && differences[n + 1].track == its.track) continue;
        sums += fmt::format("{}: {} in which the lists differ\n", its.track, count(of_track));
        of_track = 0;
    }
    return differences.empty() ? "both lists show and play the same frames\n" : text + sums;
}

} // namespace downball::read
