// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "shotlog/cells.h"
#include "shotlog/players.h"

#include "downball/base/notes.h"
#include "downball/base/text.h"
#include "downball/match/ends.h"
#include "downball/shotlog/log.h"

#include <algorithm>
#include <fmt/format.h>
#include <iterator>
#include <map>

namespace downball::shotlog {
namespace {

// One row being understood: its cells by column, and where to complain.
struct RowReader {
    const text::Columns& columns;
    char separator;
    const std::vector<std::string>& cells;
    int line;
    Complaints& complaints;

    std::string cell(std::string_view column) const {
        const int at = columns(column);
        return at < 0 ? std::string() : std::string(trim(cells[static_cast<std::size_t>(at)]));
    }

    std::string numbers(std::string_view column) const { return with_points(cell(column), separator); }

    void complain(std::string_view column, std::string_view what) const {
        complaints.add(line, column, what);
    }

    template <class Tag>
    void tag(std::string_view column, std::optional<Tag> (*parse)(std::string_view),
             std::span<const std::string> known, Tag& into) const {
        const std::string word = cell(column);
        if (word.empty()) return;
        if (const auto parsed = parse(word)) {
            into = *parsed;
        } else {
            complain(column, unknown_word(word, known));
        }
    }

    std::optional<double> number(std::string_view column, bool may_be_zero, double most) const {
        const std::string word = numbers(column);
        if (word.empty()) return std::nullopt;
        const auto value = parse_number(word);
        if (value && (*value > 0 || (may_be_zero && *value == 0)) && *value <= most) return value;
        complain(column, fmt::format("found \"{}\", expected a number {} {}, with a decimal point", word,
                                     may_be_zero ? "from 0 to" : "above 0 and up to", most));
        return std::nullopt;
    }

    std::optional<int> whole(std::string_view column, int least, int most) const {
        const std::string word = cell(column);
        if (word.empty()) return std::nullopt;
        const auto value = parse_integer(word);
        if (value && *value >= least && *value <= most) return static_cast<int>(*value);
        complain(column,
                 fmt::format("found \"{}\", expected a whole number from {} to {}", word, least, most));
        return std::nullopt;
    }
};

// Ids stand inside shot ids, before '#' or '@'.
void read_names(const RowReader& from, Row& row, std::map<std::string, int>& ids) {
    row.id = from.cell("id");
    if (row.id.empty()) {
        from.complain("id", "found nothing, expected an id of its own; `downball log` gives one");
    } else if (row.id.find_first_of("#@ \t") != std::string::npos) {
        from.complain("id", fmt::format("found \"{}\", expected an id without blanks, # and @", row.id));
    } else if (const auto [seen, fresh] = ids.emplace(row.id, from.line); !fresh) {
        from.complain(
            "id",
            fmt::format("found \"{}\", which stands in line {} already; empty the cell of the newer row "
                        "and `downball log` gives it another",
                        row.id, seen->second));
    }
    row.file = from.cell("file");
    if (row.file.empty()) from.complain("file", "found nothing, expected the clip's file");
    row.camera = from.cell("camera");
    row.reel = from.cell("reel");
    std::transform(row.reel.begin(), row.reel.end(), row.reel.begin(),
                   [](char c) { return c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c; });
    const bool plain = std::all_of(row.reel.begin(), row.reel.end(),
                                   [](char c) { return (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9'); });
    if (row.reel.size() > 8 || !plain || row.reel == "BL")
        from.complain("reel",
                      fmt::format("found \"{}\", expected 1 to 8 of A-Z and 0-9, and not BL, which is black",
                                  from.cell("reel")));
}

void read_tags(const RowReader& from, const PlayerWords& players, Take& tags) {
    if (from.cell("kind").empty())
        from.complain("kind", fmt::format("found nothing, expected one of {}", join(kind_words(), ", ")));
    from.tag<Kind>("kind", parse_kind, kind_words(), tags.kind);
    from.tag<Size>("size", parse_size, size_words(), tags.size);
    from.tag<Angle>("angle", parse_angle, angle_words(), tags.angle);
    from.tag<Side>("side", parse_side, side_words(), tags.side);
    from.tag<Use>("use", parse_use, use_words(), tags.use);
    tags.players =
        players.read(from.cell("players"), [&](const std::string& what) { from.complain("players", what); });
    for (const std::string& word : list_words(from.cell("skills"))) {
        if (const auto skill = parse_skill(word)) {
            tags.skills.push_back(*skill);
        } else {
            from.complain("skills", unknown_word(word, skill_words()));
        }
    }
    tags.rating = from.whole("rating", 1, 5).value_or(tags.rating);
    tags.crop_centre = from.number("crop", true, 1).value_or(tags.crop_centre);
    tags.capture_fps = from.number("capture_fps", false, 100000);
    tags.moment = from.cell("moment");
    tags.note = from.cell("note");
}

// What is known of the file, for the day on which it lies elsewhere.
void read_size(const RowReader& from, Row& row) {
    row.duration_s = from.number("duration_s", true, 1e6); // days
    const std::string word = from.cell("bytes");
    if (word.empty()) return;
    const auto bytes = parse_integer(word);
    if (bytes && *bytes >= 0)
        row.bytes = static_cast<std::uint64_t>(*bytes);
    else
        from.complain("bytes", fmt::format("found \"{}\", expected a whole number, or an empty cell, which "
                                           "`downball log` fills",
                                           word));
}

void read_score(const RowReader& from, Take& tags, std::vector<std::string>& notes) {
    tags.set = from.whole("set", 1, 3).value_or(0);
    const std::string written = from.cell("score");
    if (written.empty()) return;
    tags.score = match::parse_score(written);
    if (!tags.score) {
        from.complain(
            "score",
            fmt::format("found \"{}\", expected the points when the rally began, like 12-9 (or 12:9, "
                        "where the spreadsheet makes a date of it)",
                        written));
    } else if (tags.set == 0) {
        notes.push_back(
            fmt::format("line {}: score {} without a set; whether the ends were changed is not known",
                        from.line, written));
    } else if (const auto possible = match::check_score(tags.set, *tags.score); !possible) {
        from.complain("score", possible.error().what);
    }
}

void read_instants(const RowReader& from, Row& row) {
    row.in = from.numbers("in");
    row.out = from.numbers("out");
    const auto check = [&](std::string_view column, const std::string& word) {
        if (word.empty() || is_instant(word)) return true;
        from.complain(
            column,
            fmt::format("found \"{}\", expected seconds with a decimal point (12.5), frames (312f) or a "
                        "timecode (01:02:03:04)",
                        word));
        return false;
    };
    check("in", row.in);
    check("out", row.out);
    for (const std::string& mark : words(from.numbers("marks"))) {
        if (check("marks", mark)) row.marks.push_back(mark);
    }
    const std::string contacts = from.numbers("contacts");
    row.listened = !contacts.empty();
    if (auto parsed = parse_contacts(contacts)) {
        row.contacts = std::move(*parsed);
    } else {
        from.complain("contacts", parsed.error().what);
    }
}

bool blank(const std::vector<std::string>& cells) {
    return std::all_of(cells.begin(), cells.end(),
                       [](const std::string& cell) { return trim(cell).empty(); });
}

// A column whose name is a slip away from one of ours is kept, but hardly meant.
void note_columns(const text::CsvTable& table, std::vector<std::string>& notes) {
    for (const std::string& name : table.header) {
        const auto known = columns();
        if (trim(name).empty() || std::any_of(known.begin(), known.end(), [&](const std::string& column) {
                return lower(trim(name)) == column;
            }))
            continue;
        const auto near = nearest_word(trim(name), known);
        if (near && table.column(*near) < 0)
            notes.push_back(
                fmt::format("the column \"{}\" is not read; did you mean {}?", trim(name), *near));
    }
}

// Without a roster any word is a player; what was understood is told, so that a slip shows.
void note_players(const std::vector<Row>& rows, std::vector<std::string>& notes) {
    std::map<std::string, int> seen;
    for (const Row& row : rows)
        for (const std::string& player : row.tags.players)
            ++seen[player];
    if (seen.empty()) return;
    std::vector<std::string> counts;
    for (const auto& [player, times] : seen)
        counts.push_back(fmt::format("{} ({})", player, times));
    constexpr std::size_t most = 12; // two teams a match, some matches
    notes.push_back("the job has no roster, so every word in the column players is a player: " +
                    some_of(counts, most));
    std::map<std::string, std::string> by_lower;
    for (const auto& [player, times] : seen)
        if (const auto [other, fresh] = by_lower.emplace(lower(player), player); !fresh)
            notes.push_back(fmt::format(
                "the players {} and {} differ only by case and count as two; write one of them, or "
                "enter the players in roster.players of the job",
                other->second, player));
}

} // namespace

Result<Log> read_log(std::string_view written, const std::string& path,
                     const std::vector<RosterPlayer>& roster) {
    auto table = text::read_csv(written, path);
    if (!table) return table.error();
    Log log{path, std::move(*table), {}, {}};
    for (const char* needed : {"id", "file", "kind"}) {
        if (log.table.column(needed) < 0)
            return Error{
                Fault::bad_input,
                fmt::format("found no column \"{}\" in the first line, expected at least id, file and kind; "
                            "`downball log` adds the columns that are missing",
                            needed),
                path};
    }
    note_columns(log.table, log.notes);
    const text::Columns columns(log.table);
    const PlayerWords players(roster);
    Complaints complaints;
    std::map<std::string, int> ids;
    for (std::size_t i = 0; i < log.table.rows.size(); ++i) {
        if (blank(log.table.rows[i])) continue;
        Row row;
        row.line = log.table.lines[i];
        const RowReader from{columns, log.table.separator, log.table.rows[i], row.line, complaints};
        read_names(from, row, ids);
        read_tags(from, players, row.tags);
        read_score(from, row.tags, log.notes);
        read_instants(from, row);
        row.distance_m = from.number("distance_m", true, 1000);
        read_size(from, row);
        row.tags.id = row.id;
        row.tags.reel = row.reel;
        row.tags.camera = row.camera;
        row.tags.line = row.line;
        log.rows.push_back(std::move(row));
    }
    if (complaints.any()) return complaints.error(path);
    if (roster.empty()) note_players(log.rows, log.notes);
    return log;
}

} // namespace downball::shotlog
