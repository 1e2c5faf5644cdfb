// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "support/csv_dice.h"
#include "unit/shotlog/media_of.h"

#include "downball/base/text.h"
#include "downball/shotlog/log.h"

#include <algorithm>
#include <set>

using namespace downball;
using namespace downball::shotlog;
using Cells = std::vector<std::string>;

namespace {

const std::vector<std::string> files{"A/c1.mp4", "A/c2.mp4", "B/DCIM/100CAMRA/c3.mp4",  "=cmd/c4.mp4",
                                     "-c5.mp4",  " c6.mp4",  "\xF0\x9F\x8F\x90/c7.mp4", "B/a, \"b\"; c8.mp4"};

void shuffle(Cells& all, test::Dice& dice) {
    for (std::size_t i = all.size(); i > 1; --i)
        std::swap(all[i - 1], all[static_cast<std::size_t>(dice.whole(0, static_cast<int>(i) - 1))]);
}

// Ours in odd spellings and some of the user's own, in any order.
Cells any_header(test::Dice& dice) {
    Cells header;
    for (std::string name : columns()) {
        if (dice.chance(name == "file" ? 0.05 : 0.4)) continue;
        if (dice.chance(0.3)) name[0] = static_cast<char>(name[0] - 'a' + 'A');
        if (dice.chance(0.2)) name = " " + name + " ";
        header.push_back(name);
    }
    for (const char* extra : {"Weather", "=my sum", "", "two\nlines", "\xF0\x9F\x8F\x90"})
        if (dice.chance(0.3)) header.push_back(extra);
    shuffle(header, dice);
    if (header.size() < 2) header.insert(header.end(), {"x", "y"});
    return header;
}

std::string any_file(test::Dice& dice) {
    if (dice.chance(0.15)) return {};
    if (dice.chance(0.2)) return test::one_of({"gone.mp4", "A/gone too.mp4", "=gone.mp4"}, dice);
    const std::string file = test::one_of(files, dice);
    return dice.chance(0.3) || file[0] == ' ' ? "./" + file : dice.chance(0.2) ? " " + file + " " : file;
}

// As a user may have left it: ids are the user's, and each is there once.
std::string any_log(test::Dice& dice) {
    const Cells header = any_header(dice);
    std::vector<Cells> rows;
    for (int rest = dice.whole(0, 8); rest > 0; --rest) {
        Cells row;
        for (const std::string& name : header) {
            const std::string column = lower(trim(name));
            if (column == "file")
                row.push_back(any_file(dice));
            else if (column == "id")
                row.push_back(dice.chance(0.4) ? ""
                                               : test::one_of({"T", "t", "T00", "take-"}, dice) +
                                                     std::to_string(10 + rows.size()));
            else
                row.push_back(dice.chance(0.5) ? "" : test::any_cell(dice));
        }
        rows.push_back(std::move(row));
    }
    return test::csv_of(header, rows, test::any_dialect(dice), dice);
}

std::vector<FoundClip> any_clips(test::Dice& dice) {
    std::vector<FoundClip> found;
    for (const std::string& file : files) {
        if (dice.chance(0.4)) continue;
        FoundClip clip{file, media_of(file, dice.between(1, 60)), std::nullopt};
        clip.media.bytes = dice.next() % 1'000'000;
        if (dice.chance(0.2)) clip.media.audio.reset();
        if (dice.chance(0.1)) clip.media.has_video = false;
        if (dice.chance(0.7)) clip.hearing.emplace();
        for (int rest = dice.whole(0, 3); clip.hearing && rest > 0; --rest)
            clip.hearing->contacts.push_back({dice.between(-0.1, 60), dice.unit(), dice.unit()});
        found.push_back(std::move(clip));
    }
    return found;
}

std::string key_of(const std::string& written) {
    const std::string file(trim(written));
    return file.starts_with("./") ? file.substr(2) : file;
}

std::string cell(const text::CsvTable& table, const Cells& row, const char* column) {
    const int at = table.column(column);
    return at < 0 ? "" : row[static_cast<std::size_t>(at)];
}

bool runs(const std::string& cell) {
    const std::size_t first = cell.find_first_not_of(' ');
    return first != std::string::npos && cell != "-" &&
           std::string_view("=+-@\t\r\n").find(cell[first]) != std::string_view::npos;
}

// Where each of the old columns is now: in their order, new ones anywhere.
std::vector<std::size_t> places(const Cells& before, const Cells& after) {
    std::vector<std::size_t> at;
    for (std::size_t i = 0; i < after.size() && at.size() < before.size(); ++i)
        if (after[i] == before[at.size()]) at.push_back(i);
    REQUIRE(at.size() == before.size());
    return at;
}

// What the user has stays, and what is new beside it is no formula. New rows may stand anywhere.
void check_kept(const text::CsvTable& before, const text::CsvTable& after) {
    const auto at = places(before.header, after.header);
    std::size_t kept = 0;
    for (const Cells& row : after.rows) {
        const Cells* old = kept < before.rows.size() ? &before.rows[kept] : nullptr;
        for (std::size_t i = 0; old && i < old->size(); ++i)
            if (!trim((*old)[i]).empty() && (*old)[i] != row[at[i]]) old = nullptr;
        kept += old ? 1 : 0;
        for (std::size_t i = 0; i < row.size(); ++i) {
            const auto from = std::ranges::find(at, i);
            const bool users =
                old && from != at.end() && !(*old)[static_cast<std::size_t>(from - at.begin())].empty();
            if (!users) CHECK_FALSE(runs(row[i]));
        }
    }
    CHECK(kept == before.rows.size());
    CHECK(after.separator == before.separator);
    CHECK(after.encoding == before.encoding);
    CHECK(after.preamble == before.preamble);
    CHECK(after.line_end == before.line_end);
}

// `before` is the table that was brought up to date.
void check_clips(const text::CsvTable& before, const Merged& merged, const std::vector<FoundClip>& found) {
    std::set<std::string> ids, here, gone, fresh;
    for (const FoundClip& clip : found)
        here.insert(clip.file);
    fresh = here;
    for (const Cells& row : before.rows)
        fresh.erase(key_of(cell(before, row, "file")));
    CHECK(merged.added == fresh.size());
    auto missing = here;
    for (const Cells& row : merged.table.rows) {
        const std::string file = key_of(cell(merged.table, row, "file"));
        const std::string id(trim(cell(merged.table, row, "id")));
        missing.erase(file);
        if (!file.empty() && !here.contains(file)) gone.insert(file);
        if (!file.empty()) CHECK_FALSE(id.empty());
        if (!id.empty()) CHECK(ids.insert(id).second);
    }
    CHECK(missing.empty());
    std::set<std::string> told;
    for (const std::string& file : merged.gone)
        told.insert(key_of(file));
    CHECK(told == gone);
}

} // namespace

TEST_CASE(
    "law: whatever the log, rescans keep all that is the user's, give each clip a row, and settle at once") {
    std::size_t added = 0, gone = 0, filled = 0;
    for (std::uint64_t seed = 0; seed < 700; ++seed) {
        test::Dice dice(seed);
        const std::string text = any_log(dice);
        INFO("seed " << seed << "\n" << text);
        const auto read = text::read_csv(text, "log.csv");
        if (!read) FAIL(to_string(read.error()));
        text::CsvTable table = *read;
        if (dice.chance(0.3)) {
            table.encoding = dice.chance(0.5) ? text::Encoding::utf16_le : text::Encoding::utf16_be;
            table.bom = true;
        }
        for (int scan = 0; scan < 4; ++scan) {
            const auto found = any_clips(dice);
            const Merged once = merge(table, found);
            check_kept(table, once.table);
            check_clips(table, once, found);
            CHECK(once.table.rows.size() == table.rows.size() + once.added);

            const std::string bytes = text::write_csv(once.table);
            REQUIRE(text::write_csv(merge(once.table, found).table) == bytes);
            const auto again = text::read_csv(bytes, "log.csv");
            REQUIRE(again);
            CHECK(again->rows == once.table.rows);
            const Merged twice = merge(*again, found);
            CHECK(twice.added == 0);
            REQUIRE(text::write_csv(twice.table) == bytes);
            added += once.added;
            gone += once.gone.size();
            filled += bytes != text::write_csv(table) && once.added == 0 ? 1 : 0;
            table = *again;
        }
    }
    // The cases are worth something: clips came, went, and cells were filled without either.
    CHECK(added > 1000);
    CHECK(gone > 1000);
    CHECK(filled > 50);
}
