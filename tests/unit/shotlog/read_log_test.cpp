// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"

#include "downball/shotlog/log.h"

#include <algorithm>

using namespace downball;
using namespace downball::shotlog;

namespace {

const std::string header =
    "id,file,reel,camera,kind,players,skills,size,angle,side,rating,in,out,contacts,marks,distance_m,"
    "capture_fps,moment,set,score,use,note,crop\n";

std::string complaint(const std::string& rows, const std::vector<RosterPlayer>& roster = {}) {
    const auto log = read_log(header + rows, "log.csv", roster);
    REQUIRE_FALSE(log);
    CHECK(log.error().fault == Fault::bad_input);
    CHECK(log.error().where == "log.csv");
    return log.error().what;
}

bool has(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

} // namespace

TEST_CASE("a full row is understood") {
    const auto log = read_log(
        header + "T001,A/c1.mp4,a001,A,Action,Mara Ines,serve reception spike,Close-up,eye,left,5,1.5,312f,"
                 "2.5:0.9 3.1,60f,12.5,100,R7,2,12-9,must,\"good, this\",0.25\n",
        "log.csv", {{"Mara"}, {"Ines"}});
    REQUIRE(log);
    REQUIRE(log->rows.size() == 1);
    const Row& row = log->rows[0];
    CHECK(row.line == 2);
    CHECK(row.id == "T001");
    CHECK(row.file == "A/c1.mp4");
    CHECK(row.reel == "A001");
    CHECK(row.tags.kind == Kind::action);
    CHECK(row.tags.players == std::vector<std::string>{"Mara", "Ines"});
    CHECK(row.tags.skills == std::vector<Skill>{Skill::serve, Skill::pass, Skill::attack});
    CHECK(row.tags.size == Size::tight);
    CHECK(row.tags.angle == Angle::eye);
    CHECK(row.tags.side == Side::left);
    CHECK(row.tags.rating == 5);
    CHECK(row.in == "1.5");
    CHECK(row.out == "312f");
    CHECK(row.listened);
    CHECK(row.contacts.size() == 2);
    CHECK(row.marks == std::vector<std::string>{"60f"});
    CHECK(row.distance_m == 12.5);
    CHECK(row.tags.capture_fps == 100);
    CHECK(row.tags.moment == "R7");
    CHECK(row.tags.set == 2);
    CHECK(row.tags.score->b == 9);
    CHECK(row.tags.use == Use::must);
    CHECK(row.tags.note == "good, this");
    CHECK(row.tags.crop_centre == 0.25);
}

TEST_CASE("a bare row has the defaults") {
    const auto log = read_log("id;file;kind\nT1;c.mp4;cutaway\n;;\n", "log.csv", {});
    REQUIRE(log);
    REQUIRE(log->rows.size() == 1);
    CHECK(log->rows[0].tags.rating == 3);
    CHECK(log->rows[0].tags.crop_centre == 0.5); // the middle, as README says
    CHECK_FALSE(log->rows[0].listened);
    CHECK_FALSE(log->rows[0].distance_m);
}

TEST_CASE("all complaints of all rows come at once, each with line, column, found and expected") {
    const std::string all = complaint("T001,c.mp4,,,acton,,serv,wid,eye,,7,soon,,1:5,,far,0,,4,12-9,maybe,\n"
                                      ",,Card 1,,,,,,,,,,,,x,,,,1,24-21,,\n"
                                      "T001,d.mp4,,,action,,,,,,,,,,,,,,,Sep 12,,\n");
    const char* expected[] = {
        "line 2, column kind: found \"acton\", expected action, reaction, celebration",
        "line 2, column skills: found \"serv\", expected serve, pass, set, attack, block or dig; did",
        "line 2, column size: found \"wid\", expected wide, medium or tight; did you mean wide?",
        "line 2, column rating: found \"7\", expected a whole number from 1 to 5",
        "line 2, column in: found \"soon\", expected seconds",
        "line 2, column contacts: found \"1:5\", expected a confidence from 0 to 1",
        "line 2, column distance_m: found \"far\", expected a number from 0 to 1000",
        "line 2, column capture_fps: found \"0\", expected a number above 0",
        "line 2, column set: found \"4\", expected a whole number from 1 to 3",
        "line 2, column use: found \"maybe\", expected must or never",
        "line 3, column id: found nothing",
        "line 3, column file: found nothing",
        "line 3, column reel: found \"Card 1\", expected 1 to 8 of A-Z and 0-9",
        "line 3, column kind: found nothing, expected one of action",
        "line 3, column marks: found \"x\"",
        "line 3, column score: found 24-21, but set 1 ended at 23-21",
        "line 4, column id: found \"T001\", which stands in line 2 already",
        "line 4, column score: found \"Sep 12\", expected the points"};
    for (const char* one : expected) {
        INFO(one);
        CHECK(has(all, one));
    }
    CHECK(static_cast<std::size_t>(std::count(all.begin(), all.end(), '\n')) + 1 == std::size(expected));
}

TEST_CASE("what is kept of a picture lies between its ends, 0 and 1, by a decimal comma too") {
    const auto read = [](const std::string& cell) {
        return read_log("id;file;kind;crop\nT1;c.mp4;action;" + cell + "\n", "log.csv", {});
    };
    for (const auto& [cell, centre] :
         {std::pair{"0", 0.0}, {"1", 1.0}, {"0,75", 0.75}, {"0.3", 0.3}, {" ", 0.5}}) {
        const auto log = read(cell);
        REQUIRE(log);
        CHECK(log->rows[0].tags.crop_centre == centre);
    }
    for (const char* cell : {"1.01", "-0.1", "left", "50%", "nan"}) {
        const auto log = read(cell);
        REQUIRE_FALSE(log);
        CHECK(has(log.error().what,
                  std::string("line 2, column crop: found \"") + cell + "\", expected a number from 0 to 1"));
    }
}

TEST_CASE("players are looked up in the roster, if there is one") {
    CHECK(complaint("T1,c.mp4,,,action,Marra,,,,,,,,,,,,,,,,\n", {{"Ines"}, {"Mara"}}) ==
          "line 2, column players: found \"Marra\", expected Ines or Mara; did you mean Mara?");
    CHECK(read_log(header + "T1,c.mp4,,,action,Anyone,,,,,,,,,,,,,,,,\n", "log.csv", {}));
}

TEST_CASE("ids cannot hold what shot ids are made of") {
    CHECK(has(complaint("T#1,c.mp4,,,action,,,,,,,,,,,,,,,,,\n"), "without blanks, # and @"));
}

TEST_CASE("columns that are missing, misspelt or not ours") {
    const auto none = read_log("file,kind\nc.mp4,action\n", "log.csv", {});
    REQUIRE_FALSE(none);
    CHECK(has(none.error().what, "no column \"id\""));
    const auto odd = read_log("id,file,kind,playrs,weather\nT1,c.mp4,action,x,sun\n", "log.csv", {});
    REQUIRE(odd);
    REQUIRE(odd->notes.size() == 1);
    CHECK(odd->notes[0] == "the column \"playrs\" is not read; did you mean players?");
}

TEST_CASE("points without a set are noted, broken tables answered with the line") {
    const auto log = read_log(header + "T1,c.mp4,,,action,,,,,,,,,,,,,,,12-9,,\n", "log.csv", {});
    REQUIRE(log);
    CHECK(log->notes.size() == 1);
    const auto broken = read_log(header + "T1,\"c.mp4,,,action\n", "log.csv", {});
    REQUIRE_FALSE(broken);
    CHECK(broken.error().where == "log.csv:2");
}

TEST_CASE("the words of a list may have commas, semicolons, slashes and plus signs between them") {
    for (const char* lists : {"A1 B2,serve attack", "\"A1, B2\",\"serve, attack\"",
                              "\"A1,B2\",\"serve,attack,\"", "A1;B2,serve; attack", "A1/B2,serve/attack",
                              "A1 + B2,serve+attack", "\"a1 ,  b2\",Serves /ATTACKS"}) {
        INFO(lists);
        const auto log = read_log("id,file,kind,players,skills\nT1,c.mp4,action," + std::string(lists) + "\n",
                                  "log.csv", {{"A1"}, {"B2"}});
        REQUIRE(log);
        CHECK(log->rows[0].tags.players == std::vector<std::string>{"A1", "B2"});
        CHECK(log->rows[0].tags.skills == std::vector<Skill>{Skill::serve, Skill::attack});
    }
    const std::string all =
        complaint("T001,c.mp4,,,action,\"Mara,Ynes\",set; attak,,,,,,,,,,,,,,,\n", {{"Ines"}, {"Mara"}});
    CHECK(has(all, "line 2, column players: found \"Ynes\", expected Ines or Mara; did you mean Ines?"));
    CHECK(has(all, "line 2, column skills: found \"attak\", expected serve, pass"));
}

TEST_CASE("players are the roster's whatever their case") {
    const auto log = read_log(header + "T1,c.mp4,,,action,mara INES Mara,,,,,,,,,,,,,,,,\n", "log.csv",
                              {{"Ines"}, {"Mara"}});
    REQUIRE(log);
    CHECK(log->rows[0].tags.players == std::vector<std::string>{"Mara", "Ines"});
    CHECK(log->notes.empty());
}

TEST_CASE("without a roster the players that were understood are told, and those that differ by case only") {
    const auto log =
        read_log("id,file,kind,players\nT1,c,action,A1 Anna\nT2,c,action,A1 a1\n", "log.csv", {});
    REQUIRE(log);
    REQUIRE(log->notes.size() == 2);
    CHECK(has(log->notes[0], "is a player: A1 (2), Anna (1), a1 (1)"));
    CHECK(has(log->notes[1], "the players A1 and a1 differ only by case"));
}

TEST_CASE("one complaint of many lines is made once") {
    std::string rows;
    for (int i = 1; i <= 34; ++i)
        rows += "T" + std::to_string(i) + ",c.mp4,,,action,Mira,,,,,,,,,,,,,,,,\n";
    CHECK(complaint(rows, {{"Ines"}, {"Mara"}}) ==
          "lines 2, 3, 4 and 31 more, column players: found \"Mira\", "
          "expected Ines or Mara; did you mean Mara?");
}

TEST_CASE("a log of semicolons or tabs may write numbers with a decimal comma") {
    for (const char separator : {';', '\t'}) {
        std::string rows = "id;file;kind;in;out;contacts;marks;distance_m\n"
                           "T1;c;action;0,5;9,25;1,5:0,93 2,25;3,5 4f;12,5\n";
        std::ranges::replace(rows, ';', separator);
        const auto log = read_log(rows, "log.csv", {});
        REQUIRE(log);
        const Row& row = log->rows[0];
        CHECK(row.in == "0.5");
        CHECK(row.out == "9.25");
        REQUIRE(row.contacts.size() == 2);
        CHECK(row.contacts[0].seconds == 1.5);
        CHECK(row.contacts[0].confidence == 0.93);
        CHECK(row.contacts[1].by_hand);
        CHECK(row.marks == std::vector<std::string>{"3.5", "4f"});
        CHECK(row.distance_m == 12.5);
    }
    CHECK_FALSE(read_log("id,file,kind,distance_m\nT1,c,action,\"12,5\"\n", "log.csv", {}));
}

TEST_CASE("text cells hold anything: emoji, line ends, quotes and what a spreadsheet would run") {
    for (const std::string text : {"\xF0\x9F\x8F\x90", "two\nlines", "said \"out\"", "=HYPERLINK(\"x\")",
                                   "  =1+1x", "+1", "-x", "@me", "-\tx",
                                   "\xEF\xBC\x9D"
                                   "1"}) {
        text::CsvTable table;
        table.header = {"id", "file", "kind", "camera", "moment", "note", text};
        table.rows = {{"T1", text, "action", text, text, text, text}, {"T2", text, "Action", "", "", "", ""}};
        const auto log = read_log(text::write_csv(table), "log.csv", {});
        REQUIRE(log);
        const std::string read(text.substr(text.find_first_not_of(' ')));
        CHECK(log->rows[0].file == read);
        CHECK(log->rows[0].camera == read);
        CHECK(log->rows[0].tags.moment == read);
        CHECK(log->rows[0].tags.note == read);
        CHECK(log->table.rows == table.rows);
        CHECK(log->rows[1].line == (read.find('\n') == std::string::npos ? 3 : 9));
    }
}
