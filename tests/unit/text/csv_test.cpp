// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "unit/text/csv_read.h"

#include "downball/text/csv.h"

using namespace downball;
using namespace downball::text;
using tests::error_of;
using tests::table_of;
using Row = std::vector<std::string>;

// RFC 4180, section 2, rules 1-7: its own lines, under a header.
TEST_CASE("the examples of RFC 4180 are read as it says") {
    CHECK(table_of("field_name1,field_name2,field_name3\r\naaa,bbb,ccc\r\nzzz,yyy,xxx\r\n").rows ==
          std::vector<Row>{{"aaa", "bbb", "ccc"}, {"zzz", "yyy", "xxx"}});
    CHECK(table_of("a,b,c\r\naaa,bbb,ccc\r\nzzz,yyy,xxx").rows.size() == 2);
    CHECK(table_of("a,b,c\r\n\"aaa\",\"bbb\",\"ccc\"\r\nzzz,yyy,xxx").rows[0] == Row{"aaa", "bbb", "ccc"});
    CHECK(table_of("a,b,c\r\n\"aaa\",\"b\r\nbb\",\"ccc\"\r\nzzz,yyy,xxx").rows ==
          std::vector<Row>{{"aaa", "b\r\nbb", "ccc"}, {"zzz", "yyy", "xxx"}});
    CHECK(table_of("a,b,c\r\n\"aaa\",\"b\"\"bb\",\"ccc\"").rows[0] == Row{"aaa", "b\"bb", "ccc"});
}

TEST_CASE("blanks belong to the cell") {
    CHECK(table_of("a,b\n x , y\n").rows[0] == Row{" x ", " y"});
}

TEST_CASE("lines are those of the file, also past line ends inside quotes and empty lines") {
    const CsvTable table = table_of("a,b\n\n1,\"two\nlines\"\n\r\n3,4\n");
    REQUIRE(table.rows.size() == 2);
    CHECK(table.lines == std::vector<int>{3, 6});
}

TEST_CASE("the separator is found from the header") {
    CHECK(table_of("a;b,c;d\n1;2,5;3\n").rows[0] == Row{"1", "2,5", "3"});
    CHECK(table_of("a\tb\n1\t2;3\n").rows[0] == Row{"1", "2;3"});
    CHECK(table_of("\"x;y;z\",b\n1,2\n").header == Row{"x;y;z", "b"});
    CHECK(table_of("only\n1\n").separator == ',');
}

TEST_CASE("short rows are padded, long ones refused with their line") {
    CHECK(table_of("a,b,c\n1\n").rows[0] == Row{"1", "", ""});
    CHECK(error_of("a,b\n1,2\n1,2,3\n").starts_with("log.csv:3: found 3 cells, expected at most 2"));
}

TEST_CASE("all rows that are too long are told at once; empty cells past the header are no fault") {
    CHECK(error_of("a,b\n1,2,3\n1,2\n1,2,3\n4,5,6\n").ends_with("stands in quotes; likewise in lines 4, 5"));
    CHECK(table_of("a,b\n1,2,, \n").rows[0] == Row{"1", "2"});
}

TEST_CASE("a file that was written by halves is told from one with short rows") {
    const std::string half = error_of("id,file,kind\nT1,a,action\nT2,b");
    CHECK(half.starts_with(
        "log.csv:3: the file ends in the middle of this row: found 2 of 3 cells and no line end"));
    CHECK(half.find("save the table again") != std::string::npos);
    CHECK(error_of("id,file,note\nT1,a,\nT2,b,\"half a no")
              .starts_with("log.csv:3: a quote is opened here (in column note) and never closed"));
    for (const char* whole : {"id,file,kind\nT1,a", "id,file,kind\nT1,a,action\nT2,b\n",
                              "id,file,kind\nT1,a\nT2,b", "id,file,kind\nT1,a,action\n  "})
        CHECK(read_csv(whole, "log.csv"));
}

TEST_CASE("a quote that pairs with one of a later row is told where its cell began") {
    const std::string error = error_of("id,note\nT1,\"open\nT2,\"x\"\n");
    CHECK(error.starts_with(
        "log.csv:3: a quote stands inside a cell that is not quoted, or text follows a closing "
        "quote (in column note)"));
    CHECK(error.ends_with("this cell began in line 2, where its second quote may be missing"));
}

TEST_CASE("a hundred thousand rows are a table") {
    std::string text = "id,file\n";
    for (int i = 0; i < 100'000; ++i)
        text += "T1,\"a\nb\"\n";
    const CsvTable table = table_of(text);
    CHECK(table.rows.size() == 100'000);
    CHECK(table.lines.back() == 200'000);
    CHECK(write_csv(table) == text);
}

TEST_CASE("broken tables are answered with the line") {
    CHECK(error_of("a,b\n1,2\n3,\"open\n4,5\n").starts_with("log.csv:3: a quote is opened here"));
    CHECK(error_of("a,b\n1,x\"y\n").starts_with("log.csv:2: a quote stands inside"));
    CHECK(error_of("a,b\n1,\"x\"y\n").starts_with("log.csv:2: "));
    CHECK(error_of("a,b\n1,\xFF\n").starts_with("log.csv:2: found bytes that are no UTF-8"));
    CHECK(error_of(std::string_view("a,b\n1,\0\n", 8)).starts_with("log.csv:2: found a zero byte"));
    CHECK(error_of("a,b,A \n").starts_with("log.csv:1: the column \"A\" stands twice"));
    CHECK(error_of("").starts_with("log.csv:1: the table is empty"));
    CHECK(error_of("\n\n").starts_with("log.csv:1: the table is empty"));
}

TEST_CASE("a column is found whatever its case and blanks") {
    const CsvTable table = table_of("Id, File ,NOTE\n");
    CHECK(table.column("file") == 1);
    CHECK(table.column("note") == 2);
    CHECK(table.column("kind") == -1);
}

TEST_CASE("law: a table that is written and read again is the same, in the form it came") {
    for (const std::string_view text : {"a,b\r\n1,\"x,\"\"y\"\"\"\r\n",
                                        "\xEF\xBB\xBF"
                                        "a;b\n=1+1;\"li\nne\"\n",
                                        "a\tb\n-\t+\n", "a\n\"\"\n", "a,b,c\n,,\n"}) {
        const CsvTable table = table_of(text);
        CHECK(write_csv(table) == text);
        const CsvTable again = table_of(write_csv(table));
        CHECK(again.rows == table.rows);
        CHECK(again.header == table.header);
        CHECK(again.lines == table.lines);
    }
}

TEST_CASE("only line ends of CR are understood as rows too") {
    const CsvTable table = table_of("a,b\r1,2\r3,4\r");
    CHECK(table.rows == std::vector<Row>{{"1", "2"}, {"3", "4"}});
    CHECK(table.lines == std::vector<int>{2, 3});
}
