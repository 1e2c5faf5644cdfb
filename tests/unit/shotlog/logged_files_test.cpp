// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "unit/shotlog/media_of.h"

#include "downball/shotlog/log.h"

using namespace downball;
using namespace downball::shotlog;

namespace {

text::CsvTable table_of(std::string_view text) {
    return *text::read_csv(text, "log.csv");
}

std::string cell(const text::CsvTable& table, std::size_t row, const char* column) {
    return table.rows[row][static_cast<std::size_t>(table.column(column))];
}

bool has(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

} // namespace

TEST_CASE("the log tells of each file once, what the first of its rows tells") {
    const auto files = logged_files(table_of("id,file,use,bytes,duration_s\nT1, a.mp4 ,never,,\n,,,5,5\n"
                                             "T2,b.mp4,never,12,many\nT3,a.mp4,,99,1.5\nT4,a.mp4,,98,2\n"));
    REQUIRE(files.size() == 2);
    CHECK(files[0].file == "a.mp4");
    CHECK(files[0].line == 2);
    CHECK(files[0].bytes == 99);
    CHECK(files[0].duration_s == 1.5);
    CHECK_FALSE(files[0].never);
    CHECK(files[1].bytes == 12);
    CHECK_FALSE(files[1].duration_s);
    CHECK(files[1].never);
    CHECK(logged_files(table_of("id,file\nT1,a.mp4\n")).size() == 1); // a log from before these columns
    CHECK(logged_files(table_of("id;file;duration_s\nT1;a.mp4;12,480\n"))[0].duration_s == 12.48);
}

TEST_CASE("a new place changes the file cell alone") {
    const std::string before = "id,file,note\nT1, a.mp4 ,a.mp4\nT2,b.mp4,\nT3,c.mp4,\n";
    const auto table =
        with_new_places(table_of(before), {{"a.mp4", "new/a.mp4"}, {"c.mp4", "=c.mp4"}, {"d.mp4", "e.mp4"}});
    CHECK(text::write_csv(table) == "id,file,note\nT1,new/a.mp4,a.mp4\nT2,b.mp4,\nT3,./=c.mp4,\n");
}

TEST_CASE(
    "merging fills size and length where they are empty, as a spreadsheet of the log's kind reads them") {
    MediaInfo media = media_of("a.mp4", 12.4804);
    media.bytes = 123456;
    const std::vector<FoundClip> found{{"a.mp4", media, std::nullopt}};
    const auto merged = merge(table_of("id,file,bytes\nT1,a.mp4,\nT2,a.mp4,77\nT3,gone.mp4,\n"), found);
    CHECK(cell(merged.table, 0, "bytes") == "123456");
    CHECK(cell(merged.table, 0, "duration_s") == "12.480");
    CHECK(cell(merged.table, 1, "bytes") == "77");
    CHECK(cell(merged.table, 2, "bytes").empty());
    CHECK(cell(merged.table, 2, "duration_s").empty());
    const auto fresh = merge(new_table(), found);
    CHECK(cell(fresh.table, 0, "bytes") == "123456");
    CHECK(cell(fresh.table, 0, "duration_s") == "12.480");
    const auto semicolons = merge(table_of("id;file\nT1;a.mp4\n"), found);
    CHECK(cell(semicolons.table, 0, "duration_s") == "12,480");
    CHECK(text::write_csv(merge(semicolons.table, found).table) == text::write_csv(semicolons.table));
    CHECK(logged_files(semicolons.table)[0].duration_s == 12.48);
}

TEST_CASE("size and length may be empty; what is no number is complained about") {
    const auto log =
        read_log("id,file,kind,bytes,duration_s\nT1,a,cutaway,,\nT2,b,cutaway,12,3.25\n", "log.csv", {});
    REQUIRE(log);
    CHECK_FALSE(log->rows[0].bytes);
    CHECK_FALSE(log->rows[0].duration_s);
    CHECK(log->rows[1].bytes == 12);
    CHECK(log->rows[1].duration_s == 3.25);
    const auto bad =
        read_log("id,file,kind,bytes,duration_s\nT1,a,cutaway,12 kB,\nT2,b,cutaway,-1,3 s\n", "log.csv", {});
    REQUIRE_FALSE(bad);
    CHECK(has(bad.error().what, "line 2, column bytes: found \"12 kB\", expected a whole number"));
    CHECK(has(bad.error().what, "line 3, column bytes: found \"-1\""));
    CHECK(has(bad.error().what, "line 3, column duration_s: found \"3 s\""));
}

TEST_CASE("a file lasts as logged within a picture, or 0.05 s") {
    MediaInfo media = media_of("a", 10, Rate(100));
    CHECK(lasts_as_logged(10.05, media));
    CHECK(lasts_as_logged(9.95, media));
    CHECK_FALSE(lasts_as_logged(10.06, media));
    media = media_of("a", 10, Rate(10));
    CHECK(lasts_as_logged(10.1, media));
    CHECK_FALSE(lasts_as_logged(10.11, media));
}

TEST_CASE("a file that is not as long as logged is told about") {
    Footage footage;
    footage.media["a"] = media_of("a", 10);
    footage.media["a"].bytes = 12;
    const auto notes = [&](const std::string& bytes, const std::string& duration_s) {
        const auto log = read_log(
            "id,file,kind,bytes,duration_s\nT1,a,cutaway," + bytes + "," + duration_s + "\n", "log.csv", {});
        REQUIRE(log);
        const auto bound = bind(*log, footage);
        REQUIRE(bound);
        return bound->notes;
    };
    CHECK(notes("12", "10.03").empty());
    CHECK(notes("", "").empty());
    REQUIRE(notes("13", "10").size() == 1);
    CHECK(has(notes("13", "10")[0], "line 2: a has 12 bytes, the log says 13: it was changed since"));
    REQUIRE(notes("12", "11").size() == 1);
    CHECK(has(notes("12", "11")[0], "line 2: a lasts 10.000 s, the log says 11.000 s"));
}
