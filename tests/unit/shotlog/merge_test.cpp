// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "unit/shotlog/media_of.h"

#include "downball/shotlog/log.h"

using namespace downball;
using namespace downball::shotlog;

namespace {

FoundClip clip(const std::string& file, std::optional<Hearing> hearing = std::nullopt) {
    return {file, media_of(file), std::move(hearing)};
}

Hearing hearing(std::vector<Heard> contacts) {
    return {std::move(contacts), 0, {}};
}

std::string cell(const text::CsvTable& table, std::size_t row, const char* column) {
    return table.rows[row][static_cast<std::size_t>(table.column(column))];
}

text::CsvTable table_of(std::string_view text) {
    return *text::read_csv(text, "log.csv");
}

} // namespace

TEST_CASE("new clips get rows with ids, cameras, contacts and a guess of their kind") {
    FoundClip silent = clip("B/c3.mp4", hearing({}));
    silent.media.audio.reset();
    FoundClip sound = clip("B/w.wav", hearing({}));
    sound.media.has_video = false;
    const std::vector<FoundClip> found{clip("clips/A/c1.mp4", hearing({{1.23456, 0.987, 1}, {2, 0.5, 1}})),
                                       clip("A/DCIM/100CAMRA/c2.mp4", hearing({})), silent, sound,
                                       clip("c4.mp4")};
    const Merged merged = merge(new_table(), found);
    CHECK(merged.added == 5);
    CHECK(merged.gone.empty());
    const auto& table = merged.table;
    REQUIRE(table.rows.size() == 5);
    CHECK(cell(table, 0, "id") == "T001");
    CHECK(cell(table, 4, "id") == "T005");
    CHECK(cell(table, 0, "file") == "clips/A/c1.mp4");
    CHECK(cell(table, 0, "camera") == "A");
    CHECK(cell(table, 1, "camera") == "A");
    CHECK(cell(table, 4, "camera").empty());
    CHECK(cell(table, 0, "contacts") == "1.235:0.99 2.000:0.50");
    CHECK(cell(table, 1, "contacts") == "-");
    CHECK(cell(table, 2, "contacts").empty());
    CHECK(cell(table, 4, "contacts").empty());
    CHECK(cell(table, 0, "kind") == "action");
    CHECK(cell(table, 1, "kind") == "cutaway");
    CHECK(cell(table, 3, "kind") == "sound");
    CHECK(cell(table, 0, "note") == "kind guessed");
    CHECK(cell(table, 2, "note") == "kind guessed, no sound");
    CHECK(read_log(text::write_csv(table), "log.csv", {}));
}

TEST_CASE("law: the user's cells, columns and rows survive, and merging again changes nothing") {
    const std::string mine = "Weather;FILE;id;note;contacts\r\n"
                             "sun;./A/c1.mp4;T007;=SUM(A1);\r\n"
                             ";A/gone.mp4;X;@me;1.5\r\n"
                             "+1;A/c2.mp4;;-note;2.5\r\n";
    const std::vector<FoundClip> found{clip("A/c1.mp4", hearing({{1, 0.5, 1}})),
                                       clip("A/c2.mp4", hearing({{1, 0.5, 1}})),
                                       clip("A/c3.mp4", hearing({}))};
    const text::CsvTable before = table_of(mine);
    const Merged once = merge(before, found);
    CHECK(once.added == 1);
    CHECK(once.gone == std::vector<std::string>{"A/gone.mp4"});
    for (std::size_t row = 0; row < before.rows.size(); ++row) {
        for (std::size_t column = 0; column < before.header.size(); ++column) {
            CHECK(once.table.header[column] == before.header[column]);
            if (!before.rows[row][column].empty())
                CHECK(once.table.rows[row][column] == before.rows[row][column]);
        }
    }
    CHECK(cell(once.table, 0, "contacts") == "1.000:0.50");
    CHECK(cell(once.table, 2, "id") == "T008");
    CHECK(cell(once.table, 3, "id") == "T009");
    CHECK(cell(once.table, 1, "contacts") == "1.5");
    CHECK(once.table.line_end == "\r\n");
    CHECK(once.table.separator == ';');

    const Merged twice = merge(once.table, found);
    CHECK(twice.added == 0);
    CHECK(text::write_csv(twice.table) == text::write_csv(once.table));
    const Merged read_back = merge(table_of(text::write_csv(once.table)), found);
    CHECK(text::write_csv(read_back.table) == text::write_csv(once.table));
}

TEST_CASE("a file is known by each of its spellings that the key tells") {
    const auto key = [](const std::string& file) {
        return file.starts_with("/job/") ? file.substr(5) : file.starts_with("./") ? file.substr(2) : file;
    };
    const std::vector<FoundClip> found{clip("A/c1.mp4", hearing({{1, 0.5, 1}})),
                                       clip("A/c2.mp4", hearing({}))};
    const Merged merged = merge(table_of("id,file,contacts\nT1,/job/A/c1.mp4,7.5\nT2, ./A/c1.mp4 ,\n"
                                         "T3,/job/A/c2.mp4,\nT4,/job/A/c3.mp4,\n"),
                                found, key);
    CHECK(merged.added == 0);
    CHECK(merged.gone == std::vector<std::string>{"/job/A/c3.mp4"});
    CHECK(cell(merged.table, 0, "file") == "/job/A/c1.mp4");
    CHECK(cell(merged.table, 0, "contacts") == "7.5");
    CHECK(cell(merged.table, 1, "contacts") == "1.000:0.50");
    CHECK(cell(merged.table, 2, "contacts") == "-");
}

TEST_CASE("no new cell begins like a formula") {
    const std::vector<FoundClip> found{clip("=cmd/x.mp4", hearing({{-0.01, 0.9, 1}, {0.5, 0.9, 1}})),
                                       clip("-a.mp4"), clip("@b/y.mp4"), clip(" +c/\t=z.mp4"),
                                       clip(" d.mp4")};
    const Merged merged = merge(new_table(), found);
    for (const auto& row : merged.table.rows) {
        for (const std::string& text : row) {
            const std::size_t first = text.find_first_not_of(' ');
            CHECK((first == std::string::npos ||
                   std::string("=+-@\t\r\n").find(text[first]) == std::string::npos));
        }
    }
    CHECK(cell(merged.table, 0, "file") == "./=cmd/x.mp4");
    CHECK(cell(merged.table, 0, "contacts") == "0.500:0.90");
    CHECK(cell(merged.table, 4, "file") == "./ d.mp4");
    CHECK(merge(merged.table, found).added == 0);
}

TEST_CASE("a row without a file, and several rows of one file, are left in peace") {
    const Merged merged = merge(table_of("id,file,note\n,,a heading\nT1,c.mp4,\nT2,c.mp4,\n"),
                                std::vector<FoundClip>{clip("c.mp4")});
    CHECK(merged.added == 0);
    CHECK(cell(merged.table, 0, "id").empty());
    CHECK(merged.table.rows.size() == 3);
}

TEST_CASE("a new duration has the decimal sign of its table") {
    const auto duration = [](std::string_view text) {
        const Merged merged = merge(table_of(text), std::vector<FoundClip>{clip("new.mp4")});
        return cell(merged.table, merged.table.rows.size() - 1, "duration_s");
    };
    CHECK(duration("id,file\n") == "10.000");
    CHECK(duration("id;file\n") == "10,000");
    CHECK(duration("id\tfile\n") == "10.000");
    CHECK(duration("id\tfile\tdistance_m\nT1\ta\t12,5\n") == "10,000");
    CHECK(duration("id\tfile\tdistance_m\nT1\ta\t12.5\n") == "10.000");
    CHECK(duration("id,file,distance_m\nT1,a,\"12,5\"\n") == "10.000");
}
