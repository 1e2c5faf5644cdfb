// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "support/csv_dice.h"
#include "unit/text/csv_read.h"

#include "downball/text/csv.h"

using namespace downball;
using namespace downball::text;
using tests::error_of;
using tests::table_of;
using namespace std::string_literals;
using Row = std::vector<std::string>;

namespace {

// ASCII alone, so that the code under test does not judge itself.
std::string wide(std::string_view ascii, bool big_endian) {
    std::string bytes;
    for (const char c : ascii)
        bytes += big_endian ? std::string{'\0', c} : std::string{c, '\0'};
    return bytes;
}

const std::string le_mark = "\xFF\xFE", be_mark = "\xFE\xFF";

} // namespace

// RFC 2781, section 5: U+12345 = R a in both orders, behind the byte order mark.
TEST_CASE("UTF-16 of both byte orders is read by its mark") {
    const std::string text = "\xF0\x92\x8D\x85=Ra";
    const CsvTable be = table_of("\xFE\xFF\xD8\x08\xDF\x45\x00\x3D\x00\x52\x00\x61"s);
    CHECK(be.header == Row{text});
    CHECK(be.encoding == Encoding::utf16_be);
    const CsvTable le = table_of("\xFF\xFE\x08\xD8\x45\xDF\x3D\x00\x52\x00\x61\x00"s);
    CHECK(le.header == Row{text});
    CHECK(le.encoding == Encoding::utf16_le);
}

TEST_CASE("Unicode text of a spreadsheet goes back as it came, new rows and cells with it") {
    for (const bool big : {false, true}) {
        const std::string mark = big ? be_mark : le_mark;
        const std::string bytes = mark + wide("id\tfile\r\nT1\t\"a\tb\"\r\n", big);
        CsvTable table = table_of(bytes);
        CHECK(table.separator == '\t');
        CHECK(table.line_end == "\r\n");
        CHECK(table.rows == std::vector<Row>{{"T1", "a\tb"}});
        CHECK(write_csv(table) == bytes);
        table.rows.push_back({"T2", "c"});
        table.lines.push_back(0);
        CHECK(write_csv(table) == bytes + wide("T2\tc\r\n", big));
    }
}

TEST_CASE("broken UTF-16 is answered with the line and what to do") {
    const std::string rows = "id\tfile\r\nT1\t";
    CHECK(error_of(le_mark + wide(rows, false) + "\x3D\xD8"s + wide("x\r\n", false))
              .starts_with("log.csv:2: found half a surrogate pair"));
    CHECK(error_of(be_mark + wide(rows, true) + "\xDF\x45"s)
              .starts_with("log.csv:2: found half a surrogate pair"));
    CHECK(error_of(le_mark + wide(rows, false) + "\x3D\xD8"s)
              .starts_with("log.csv:2: found half a surrogate pair"));
    CHECK(error_of(be_mark + wide(rows, true) + "\x00"s)
              .starts_with("log.csv:2: found half a character of UTF-16"));
    for (const bool big : {false, true}) {
        const std::string unmarked = error_of(wide(rows, big));
        CHECK(unmarked.starts_with("log.csv:1: found UTF-16 without its byte order mark; save the table as"));
        CHECK(error_of((big ? be_mark : le_mark) + wide("id\nT1"s + '\0', big))
                  .starts_with("log.csv:2: found a zero"));
    }
    CHECK(error_of(le_mark).starts_with("log.csv:1: the table is empty"));
    // Windows-1252, which has 0xE9 for U+00E9.
    CHECK(error_of("id,file\nT1,\xE9t\xE9\n").starts_with("log.csv:2: found bytes that are no UTF-8; save"));
}

TEST_CASE("a first line that names the separator is kept and is no header") {
    for (const char* first : {"sep=;\r\n", "SEP=;\r\n", "\"sep=;\"\n", "sep=;;;\r\n"}) {
        const std::string text = std::string(first) + "id;a,b,c\r\nT1;x\r\n";
        const CsvTable table = table_of(text);
        CHECK(table.header == Row{"id", "a,b,c"});
        CHECK(table.rows == std::vector<Row>{{"T1", "x"}});
        CHECK(table.lines == std::vector<int>{3});
        CHECK(table.separator == ';');
        CHECK(write_csv(table) == text);
    }
    CHECK(table_of("sep=|\nid|a;b\n").header == Row{"id", "a;b"});
    CHECK(table_of("sep=\t\nid\tfile\n").header == Row{"id", "file"});
    CHECK(table_of("sep=x,file\n").header == Row{"sep=x", "file"});
    CHECK(error_of("sep=;\n").starts_with("log.csv:1: the table is empty"));
    CHECK(error_of("sep=;\nid;file\nT1;x;y\n").starts_with("log.csv:3: found 3 cells"));
}

TEST_CASE("quotes, empty lines, short rows and line ends of an untouched table stay") {
    for (const std::string_view text :
         {"\"a\",b\n1,\"2\"\n", "a,b\n\n\n1,2\n\n3,4\n\n\n", "\n\na,b\n1,2\n", "a,b,c\n1\n1,2\n",
          "a,b\n1,2,,\n", "a,b\r\n1,2\n3,4\r\n", "a,b\n1,2", "a,b\r1,2\r3,4\r", "a,b", "a,b\n1,",
          "a,b,c\n\"\"\n", "a\n\"\"\n\"\""}) {
        INFO(text);
        CHECK(write_csv(table_of(text)) == text);
    }
}

TEST_CASE("a touched table keeps what it can of its form") {
    CsvTable table = table_of("\"id\",note,x\n\n\"T1\",\n\"T2\",\"n\",\"\"");
    table.header.push_back("new");
    table.rows[0] = {"T1", "", "", ""};
    table.rows[1] = {"T2", "n", "", "filled"};
    table.rows.push_back({"T3", "", "", ""});
    table.lines.push_back(0);
    CHECK(write_csv(table) == "\"id\",note,x,new\n\n\"T1\",\n\"T2\",\"n\",\"\",filled\nT3,,,\n");
    std::swap(table.rows[0], table.rows[1]);
    std::swap(table.lines[0], table.lines[1]);
    CHECK(write_csv(table) == "\"id\",note,x,new\n\"T2\",\"n\",\"\",filled\n\n\"T1\",\nT3,,,\n");
    table.rows[1][3] = "late";
    CHECK(write_csv(table) == "\"id\",note,x,new\n\"T2\",\"n\",\"\",filled\n\n\"T1\",,,late\nT3,,,\n");
}

TEST_CASE("law: what is read is written byte for byte, in any dialect") {
    for (std::uint64_t seed = 0; seed < 2000; ++seed) {
        test::Dice dice(seed);
        const test::CsvDialect dialect = test::any_dialect(dice);
        const int columns = dice.whole(2, 6);
        Row header;
        for (int i = 0; i < columns; ++i)
            header.push_back("c" + std::to_string(i));
        std::vector<Row> rows;
        for (int rest = dice.whole(0, 6); rest > 0; --rest) {
            rows.emplace_back();
            for (int i = 0; i < columns; ++i)
                rows.back().push_back(test::any_cell(dice));
        }
        const std::string text = test::csv_of(header, rows, dialect, dice);
        INFO("seed " << seed << "\n" << text);

        const CsvTable plain = table_of(text);
        CHECK(plain.rows == rows);
        CHECK(plain.header == header);
        REQUIRE(write_csv(plain) == text);
        // Through each encoding: what is written there reads as the same table and is written so again.
        for (const Encoding encoding : {Encoding::utf8, Encoding::utf16_le, Encoding::utf16_be}) {
            CsvTable other = plain;
            other.encoding = encoding;
            other.bom = true;
            const std::string bytes = write_csv(other);
            const CsvTable again = table_of(bytes);
            CHECK(again.encoding == encoding);
            CHECK(again.rows == rows);
            CHECK(again.lines == plain.lines);
            REQUIRE(write_csv(again) == bytes);
        }
    }
}
