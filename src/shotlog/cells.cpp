// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "shotlog/cells.h"

#include "downball/base/notes.h"
#include "downball/base/text.h"

#include <algorithm>
#include <fmt/format.h>

namespace downball::shotlog {
namespace {

Error bad(std::string what) {
    return {Fault::bad_input, std::move(what), ""};
}

std::string list_of(std::span<const std::string> known) {
    if (known.size() < 2) return join(known, "");
    return fmt::format("{} or {}", join(known.first(known.size() - 1), ", "), known.back());
}

bool is_label(std::string_view text) {
    return std::count(text.begin(), text.end(), ':') >= 2;
}

// An instant that stands twice is one contact, as sure as the surest of the two; what a hand wrote is that.
std::vector<WrittenContact> once_each(std::vector<WrittenContact> in_order) {
    std::vector<WrittenContact> contacts;
    for (const WrittenContact& next : in_order) {
        if (contacts.empty() || contacts.back().seconds != next.seconds) {
            contacts.push_back(next);
            continue;
        }
        contacts.back().confidence = std::max(contacts.back().confidence, next.confidence);
        contacts.back().by_hand |= next.by_hand;
    }
    return contacts;
}

std::optional<long long> parse_frame(std::string_view text) {
    if (text.empty() || lower(text.substr(text.size() - 1)) != "f") return std::nullopt;
    const auto frame = parse_integer(text.substr(0, text.size() - 1));
    constexpr long long most = 10'000'000'000; // years of pictures
    return frame && *frame >= 0 && *frame <= most ? frame : std::nullopt;
}

// Past the end of a file of constant rate the instant is still told: whoever asked knows the range it needs.
Result<double> frame_s(long long frame, const MediaInfo& media) {
    const auto rate = media.frames.constant ? media.frames.constant : media.rate;
    if (rate) return to_seconds(Frame{frame}, *rate);
    const auto& shown_s = media.frames.shown_s;
    const auto at = static_cast<std::size_t>(frame);
    if (at < shown_s.size()) return shown_s[at];
    if (at == shown_s.size() && at > 0) return media.duration_s; // just after the last picture, for an out
    if (!media.has_video)
        return bad(fmt::format("found frame {}, but {} has no pictures; give seconds", frame, media.name));
    return bad(fmt::format("found frame {}, but {} has {} pictures", frame, media.name, shown_s.size()));
}

Result<double> label_s(std::string_view label, const MediaInfo& media) {
    if (media.start) {
        const auto at = from_timecode(label, media.start->rate, media.start->counting);
        if (!at) return bad(at.error().what);
        Frame since = *at - media.start->at;
        if (since.n < 0) since += day_length(media.start->rate, media.start->counting);
        return to_seconds(since, media.start->rate);
    }
    if (!media.rate || !has_timecode(*media.rate))
        return bad(
            fmt::format("found the label {}, but {} has no timecode; give seconds (12.5) or frames (312f)",
                        label, media.name));
    const bool drop = label.find(';') != std::string_view::npos && has_drop_frame(*media.rate);
    const auto at = from_timecode(label, *media.rate, drop ? Counting::drop : Counting::non_drop);
    if (!at) return bad(at.error().what);
    return to_seconds(*at, *media.rate);
}

} // namespace

void Complaints::add(int line, std::string_view column, std::string_view what) {
    auto text = fmt::format("column {}: {}", column, what);
    const auto [known, fresh] = at_.emplace(text, all_.size());
    if (fresh)
        all_.push_back({std::move(text), {line}});
    else if (auto& lines = all_[known->second].second; lines.back() != line)
        lines.push_back(line);
}

Error Complaints::error(const std::string& path) const {
    std::vector<std::string> complaints;
    for (const auto& [text, lines] : all_) {
        std::vector<std::string> numbers;
        for (const int line : lines)
            numbers.push_back(std::to_string(line));
        complaints.push_back(
            fmt::format("line{} {}, {}", lines.size() == 1 ? "" : "s", some_of(numbers), text));
    }
    return {Fault::bad_input, join(complaints, "\n"), path};
}

std::string unknown_word(std::string_view word, std::span<const std::string> known,
                         std::span<const std::string> others) {
    std::vector<std::string> all(known.begin(), known.end());
    all.insert(all.end(), others.begin(), others.end());
    const auto near = nearest_word(word, all);
    return fmt::format("found \"{}\", expected {}{}", word, list_of(known),
                       near ? fmt::format("; did you mean {}?", *near) : "");
}

std::vector<std::string> list_words(std::string_view cell) {
    std::string text(cell);
    for (char& c : text)
        if (list_signs.find(c) != std::string_view::npos) c = ' ';
    return words(text);
}

Result<std::vector<WrittenContact>> parse_contacts(std::string_view cell) {
    std::vector<WrittenContact> contacts;
    if (trim(cell) == "-") return contacts;
    for (const std::string& word : words(cell)) {
        const std::size_t colon = word.find(':');
        const auto seconds = parse_number(std::string_view(word).substr(0, colon));
        const bool by_hand = colon == std::string::npos;
        const auto confidence =
            by_hand ? std::optional(1.0) : parse_number(std::string_view(word).substr(colon + 1));
        constexpr double most = 1e6; // days of sound
        if (!seconds || *seconds < 0 || *seconds > most || !confidence)
            return bad(
                fmt::format("found \"{}\", expected seconds with a decimal point, like 12.480, or with a "
                            "confidence behind, like 12.480:0.93, blanks between",
                            word));
        if (*confidence < 0 || *confidence > 1)
            return bad(fmt::format("found \"{}\", expected a confidence from 0 to 1", word));
        contacts.push_back({*seconds, *confidence, by_hand});
    }
    std::stable_sort(contacts.begin(), contacts.end(),
                     [](const auto& a, const auto& b) { return a.seconds < b.seconds; });
    return once_each(std::move(contacts));
}

std::string with_points(std::string_view cell, char separator) {
    std::string text(cell);
    if (separator == ',') return text;
    const auto digit = [&](std::size_t at) { return text[at] >= '0' && text[at] <= '9'; };
    for (std::size_t i = 1; i + 1 < text.size(); ++i)
        if (text[i] == ',' && digit(i - 1) && digit(i + 1)) text[i] = '.';
    return text;
}

char decimal_sign(const text::CsvTable& table) {
    if (table.separator == ',') return '.';
    if (table.separator == ';') return ',';
    const text::Columns column(table);
    for (const char* name :
         {"duration_s", "distance_m", "capture_fps", "crop", "in", "out", "contacts", "marks"}) {
        const int at = column(name);
        if (at < 0) continue;
        for (const auto& row : table.rows) {
            const std::string& cell = row[static_cast<std::size_t>(at)];
            if (with_points(cell, table.separator) != cell) return ',';
        }
    }
    return '.';
}

bool is_instant(std::string_view cell) {
    cell = trim(cell);
    if (is_label(cell)) return true; // whether the label exists, only the file can tell
    const auto seconds = parse_number(cell);
    return (seconds && *seconds >= 0) || parse_frame(cell);
}

Result<double> instant_s(std::string_view cell, const MediaInfo& media) {
    cell = trim(cell);
    if (is_label(cell)) return label_s(cell, media);
    if (const auto seconds = parse_number(cell); seconds && *seconds >= 0) return *seconds;
    if (const auto frame = parse_frame(cell)) return frame_s(*frame, media);
    return bad(fmt::format("found \"{}\", expected seconds (12.5), frames (312f) or a timecode (01:02:03:04)",
                           cell));
}

} // namespace downball::shotlog
