// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"

#include "downball/coverage/coverage.h"
#include "downball/text/csv.h"
#include "downball/text/json.h"

#include <algorithm>

using namespace downball;

namespace {

// A day of four takes: who is in which, worked out by hand below.
struct Day {
    ShotLog log;
    Limits limits;
    LastCut cut;

    Day() {
        MediaInfo real, fast;
        real.rate = Rate(25);
        fast.rate = Rate(120);
        log.media = {real, fast};
        take("T1", Kind::action, {"A1", "B1"}, {Skill::serve, Skill::pass}, 0, 4);
        take("T2", Kind::action, {"A1"}, {Skill::attack}, 1, 2);
        take("T3", Kind::reaction, {"B1"}, {}, 0, 3);
        take("T4", Kind::cutaway, {}, {}, 0, 5);
        take("T5", Kind::action, {"B1"}, {Skill::dig}, 0, 9);
        log.takes[4].use = Use::never;
        for (const auto& [id, skill] : {std::pair{"T1#1", Skill::serve}, {"T1#2", Skill::pass}}) {
            Impact impact;
            impact.id = id;
            impact.skill = skill;
            impact.confidence = 0.9;
            log.takes[0].impacts.push_back(impact);
        }
        log.takes[1].size = Size::tight;
        log.takes[1].angle = Angle::low;
        log.takes[1].camera = "net";
        log.takes[3].note = "palms";
        cut.shots.push_back({"T1#1", "T1", true, 0, Fraction(1), {Frame{0}, Frame{50}}, Frame{0}});
        cut.shots.push_back({"T1#2", "T1", true, 0, Fraction(1), {Frame{50}, Frame{75}}, Frame{0}});
    }
    void take(const std::string& id, Kind kind, std::vector<std::string> players, std::vector<Skill> skills,
              std::size_t media, double seconds) {
        Take made;
        made.id = id;
        made.kind = kind;
        made.players = std::move(players);
        made.skills = std::move(skills);
        made.media = media;
        made.out_s = seconds;
        log.takes.push_back(made);
    }
    coverage::Coverage cover() const {
        return coverage::cover({log,
                                limits,
                                {{"A1", "Terns"}, {"A2", "Terns"}, {"B1", "Gulls"}},
                                {{"net", "at the net"}},
                                &cut});
    }
};

const coverage::Grid& grid(const coverage::Coverage& found, const std::string& name) {
    const auto at = std::ranges::find(found.grids, name, &coverage::Grid::name);
    REQUIRE(at != found.grids.end());
    return *at;
}

const coverage::Count& cell(const coverage::Grid& grid, const std::string& row, const std::string& column) {
    const auto r = std::ranges::find(grid.rows, row), c = std::ranges::find(grid.columns, column);
    REQUIRE(r != grid.rows.end());
    REQUIRE(c != grid.columns.end());
    return grid.at(static_cast<std::size_t>(r - grid.rows.begin()),
                   static_cast<std::size_t>(c - grid.columns.begin()));
}

std::vector<std::string> names(const std::vector<coverage::Gap>& gaps) {
    std::vector<std::string> all;
    for (const auto& gap : gaps)
        all.push_back(gap.what);
    return all;
}

bool has(const std::vector<std::string>& all, const std::string& one) {
    return std::ranges::find(all, one) != all.end();
}

} // namespace

TEST_CASE("takes and shots are counted by player and skill, size and angle, place, subject") {
    const auto found = Day().cover();
    CHECK(found.all.takes == 4); // T5 is never used
    CHECK(found.all.take_s == Approx(14));
    CHECK(found.all.shots == 2);
    CHECK(found.all.shot_s == Approx(3));
    CHECK(found.slow_motion.takes == 1);
    Day gone; // of a clip that is not there the log alone tells
    gone.log.media[0] = MediaInfo{};
    gone.log.takes[0].capture_fps = 120;
    CHECK(gone.cover().slow_motion.takes == 2);
    const auto& played = grid(found, "players in skills");
    CHECK(played.rows == std::vector<std::string>{"A1", "A2", "B1"});
    CHECK(played.columns == std::vector<std::string>{"serve", "pass", "set", "attack", "block", "dig"});
    CHECK(cell(played, "A1", "serve").takes == 1);
    CHECK(cell(played, "A1", "serve").shots == 1); // a shot by the skill of its own contact
    CHECK(cell(played, "A1", "serve").shot_s == Approx(2));
    CHECK(cell(played, "A1", "pass").shot_s == Approx(1));
    CHECK(cell(played, "A1", "attack").take_s == Approx(2));
    CHECK(cell(played, "B1", "dig").takes == 0);
    CHECK(cell(played, "A2", "serve").takes == 0);
    CHECK(cell(grid(found, "players' faces"), "B1", "reaction").takes == 1);
    CHECK(cell(grid(found, "sizes from angles"), "tight", "low").takes == 1);
    CHECK(cell(grid(found, "skills by place of the camera"), "at the net", "attack").takes == 1);
    CHECK(cell(grid(found, "place and spectators"), "palms", "cutaway").takes == 1);
}

TEST_CASE("gaps come by what they would add, those the job asks for first") {
    Day day;
    auto gaps = day.cover().gaps;
    CHECK(std::ranges::none_of(gaps, [](const auto& gap) { return gap.asked; }));
    CHECK(std::ranges::is_sorted(gaps, [](const auto& a, const auto& b) { return a.points > b.points; }));
    // A2 was never filmed, B1 was: a first picture of a player adds more than another of one that is there.
    const auto all = names(gaps);
    CHECK(std::ranges::find(all, "A2 in serve") < std::ranges::find(all, "B1 in attack"));
    CHECK_FALSE(has(all, "A1 in serve"));
    CHECK(has(all, "A1: a reaction or celebration"));
    CHECK_FALSE(has(all, "B1: a reaction or celebration"));
    CHECK(has(all, "an establishing shot"));
    CHECK_FALSE(has(all, "slow motion"));
    // More than there is, of a player whom nothing names, of a skill that nobody did; and an attack in which no contact is
    // known hangs no shot.
    day.limits.variety.skills[Skill::block].at_least = 1;
    day.limits.variety.skills[Skill::serve].at_least = 2;
    day.limits.variety.skills[Skill::attack].at_least = 1;
    day.limits.variety.players["C1"].at_least = 2;
    gaps = day.cover().gaps;
    std::vector<std::string> asked;
    for (const auto& gap : gaps)
        if (gap.asked) asked.push_back(gap.what + ": " + gap.why);
    CHECK(asked == std::vector<std::string>{"shots of C1: 2 shots asked, none in the log",
                                            "shots of skill serve: 2 shots asked, 1 in the log",
                                            "shots of skill attack: 1 shot asked, none in the log",
                                            "shots of skill block: 1 shot asked, none in the log"});
    CHECK(std::ranges::is_partitioned(gaps, [](const auto& gap) { return gap.asked; }));
}

// A1.3 and A1.4 of the rules: FIVB Official Beach Volleyball Rules, change of courts at multiples of 7, in set 3 of 5.
TEST_CASE("the next change of ends from the score") {
    struct Case {
        int set, a, b, in_points, at_sum;
        bool may_end_before;
    };
    for (const auto& [set, a, b, in_points, at_sum, may_end] : {Case{1, 0, 0, 7, 7, false},
                                                                {1, 4, 2, 1, 7, false},
                                                                {1, 4, 3, 7, 14, false},
                                                                {1, 12, 9, 7, 28, false},
                                                                {1, 18, 3, 7, 28, true},
                                                                {2, 20, 19, 3, 42, true},
                                                                {1, 10, 11, 7, 28, false},
                                                                {3, 8, 7, 5, 20, false},
                                                                {3, 14, 13, 3, 30, true},
                                                                {1, 21, 19, 0, 0, false},
                                                                {3, 10, 10, 5, 25, true}}) {
        INFO(set << ": " << a << "-" << b);
        const auto next = coverage::next_change(set, {a, b});
        REQUIRE(next);
        CHECK(next->in_points == in_points);
        CHECK(next->at_sum == at_sum);
        CHECK(next->may_end_before == may_end);
    }
    CHECK_FALSE(coverage::next_change(1, {24, 21}));
    CHECK_FALSE(coverage::next_change(4, {1, 1}));
}

TEST_CASE("players and skills are asked in shots, as the limits count them") {
    Day day; // A1: two contacts in T1, none in T2
    day.limits.variety.players["A1"].at_least = 2;
    CHECK_FALSE(day.cover().gaps.front().asked);
    day.limits.variety.players["A1"].at_least = 3;
    CHECK(day.cover().gaps.front().why == "3 shots asked, 2 in the log");
    day.log.takes[0].impacts[1].confidence = 0.1; // not sure
    CHECK(day.cover().gaps.front().why == "3 shots asked, 1 in the log");
    day.log.takes[0].impacts[1].confidence = 0.9;
    // A contact of which no skill is known may be any that its row names.
    day.limits.variety.players = {};
    day.limits.variety.skills[Skill::pass].at_least = 3;
    CHECK(day.cover().gaps.front().why == "3 shots asked, 1 in the log");
    day.log.takes[0].impacts[0].skill.reset();
    CHECK(day.cover().gaps.front().why == "3 shots asked, 2 in the log");
    day.log.takes[0].impacts[0].skill = Skill::serve;
    day.limits.variety.skills = {};
    // B1: the two of T1, and three seconds of a face: at 0.8 s, three.
    day.limits.variety.players = {{"B1", {6, {}}}};
    CHECK(day.cover().gaps.front().why == "6 shots asked, 5 in the log");
}

TEST_CASE("a kind that was guessed is no subject") {
    const auto subject = [](const std::string& note) {
        Day day;
        day.log.takes[3].note = note;
        return grid(day.cover(), "place and spectators").rows.at(0);
    };
    CHECK(subject("kind guessed") == "not said");
    CHECK(subject("kind guessed, no sound") == "not said");
    CHECK(subject("kind guessed, no sound; palms") == "palms");
    CHECK(subject("kind guessed: flags") == "flags");
    CHECK(subject("flags") == "flags");
    CHECK(subject("") == "not said");
}

TEST_CASE("what the next points may bring, by the job's match") {
    const match::Facts facts{{"Terns", "Gulls"}, {{"Terns", {}}}};
    const auto lines = [&](int set, Score score, const match::Facts& of) {
        return coverage::table({}, *coverage::next_change(set, score, of));
    };
    const auto has_all = [](const std::string& text, const std::vector<std::string>& parts) {
        for (const auto& part : parts)
            CHECK_THAT(text, Catch::Contains(part));
    };
    // Rules of the 2016 event page: 4-3, a change; 11-10, with the technical time-out; 20-19, won with the next point.
    has_all(lines(1, {12, 6}, facts),
            {"change of ends in 3 points, when the sum is 21\n",
             "technical time-out in 3 points, with that change", "Terns plays from the left"});
    has_all(lines(1, {4, 3}, facts),
            {"ends are changed now; technical time-out in 14 points\n", "Gulls plays from the left end"});
    has_all(lines(1, {11, 10}, facts), {"ends are changed now, with the technical time-out\n"});
    has_all(lines(1, {20, 19}, facts), {"set point for Terns"});
    has_all(lines(3, {13, 14}, facts), {"match point for Gulls", "left end is not known: `left` of set 3"});
    has_all(lines(1, {19, 21}, facts), {"set 1, 19-21: the set is over, Gulls won it\n"});
    has_all(lines(1, {20, 19}, {}), {"set point for the first team"});
    match::Facts none_held = facts;
    none_held.technical_time_out = false;
    CHECK(lines(1, {12, 6}, none_held).find("technical") == std::string::npos);
    CHECK(lines(3, {3, 3}, facts).find("technical") == std::string::npos);
    CHECK(lines(1, {20, 20}, facts).find("set point") == std::string::npos);
}

TEST_CASE("rallies with their ends and servers, several cameras and moments together") {
    Day day;
    auto& takes = day.log.takes;
    for (const std::size_t t : {0U, 1U}) {
        takes[t].set = 1;
        takes[t].score = Score{4, 3};
        takes[t].left = "Gulls";
        takes[t].serving = "Terns";
        takes[t].server = "A1";
    }
    takes[1].moment = takes[2].moment = "r8";
    takes[2].left = "Gulls";
    takes[2].serving = "Terns";
    takes[2].server = "A1";
    takes[3].set = 1;
    takes[3].score = Score{3, 3};
    takes[4].set = 2; // never used
    takes[4].score = Score{0, 0};
    const auto found = day.cover();
    REQUIRE(found.rallies.size() == 2);
    CHECK(found.rallies[0].takes == std::vector<std::string>{"T4"});
    CHECK(found.rallies[1].takes == std::vector<std::string>{"T1", "T2", "T3"});
    const auto text = coverage::table(found, {});
    CHECK_THAT(text, Catch::Contains("  1    3-3      -      -          1\n"
                                     "  1    4-3      Gulls  A1         3\n"));
    const auto root = text::parse_json(coverage::json(found, {}), "coverage.json");
    REQUIRE(root);
    CHECK(text::validate(*root, "coverage", "coverage.json"));
    CHECK(root->find("rallies")->array()[1].find("server")->string() == "A1");
    CHECK_THAT(coverage::csv(found), Catch::Contains("rallies by left team,\"set 1, 4-3\",Gulls,3,,,"));
}

TEST_CASE("coverage as text, CSV, JSON and a page to print") {
    Day day;
    day.log.takes[0].players[0] = "<b>\"Ö\"";
    day.log.takes[3].note = "=SUM(A1)";
    const auto found = day.cover();
    const auto next = *coverage::next_change(1, {12, 9});
    const auto text = coverage::table(found, next);
    CHECK_THAT(text, Catch::Contains("set 1, 12-9: change of ends in 7 points, when the sum is 28"));
    CHECK_THAT(text, Catch::Contains("1 (1)"));

    const auto table = text::read_csv(coverage::csv(found), "coverage.csv");
    REQUIRE(table);
    CHECK(table->header.size() == 7);
    CHECK(std::ranges::count_if(table->rows, [](const auto& row) { return row[0] == "missing"; }) ==
          static_cast<std::ptrdiff_t>(found.gaps.size()));
    CHECK(std::ranges::any_of(table->rows, [](const auto& row) { return row[1] == "'=SUM(A1)"; }));

    const auto root = text::parse_json(coverage::json(found, next), "coverage.json");
    REQUIRE(root);
    CHECK(text::validate(*root, "coverage", "coverage.json"));
    CHECK(root->find("gaps")->array().size() == found.gaps.size());

    const auto page = coverage::checklist(found, next, "Sun & sand");
    CHECK_THAT(page, Catch::Contains("Sun &amp; sand"));
    CHECK_THAT(page, Catch::Contains("&lt;b&gt;&quot;Ö&quot;"));
    CHECK(page.find("<b>") == std::string::npos);
    CHECK_THAT(page, Catch::Contains("free zone"));
}
