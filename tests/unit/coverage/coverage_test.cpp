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
    // More than there is, of a player whom nothing names, of a skill that nobody did: two serves, one of them not sure.
    day.limits.variety.skills[Skill::block].at_least = 1;
    day.limits.variety.skills[Skill::serve].at_least = 2;
    day.limits.variety.skills[Skill::attack].at_least = 1;
    day.limits.variety.players["C1"].at_least = 2;
    gaps = day.cover().gaps;
    std::vector<std::string> asked;
    for (const auto& gap : gaps)
        if (gap.asked) asked.push_back(gap.what + ": " + gap.why);
    CHECK(asked == std::vector<std::string>{"shots of C1: the job asks for 2, none is there",
                                            "shots of skill serve: the job asks for 2, 1 is there",
                                            "shots of skill block: the job asks for 1, none is there"});
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

TEST_CASE("coverage as text, CSV, JSON and a page to print") {
    Day day;
    day.log.takes[0].players[0] = "<b>\"Ö\"";
    day.log.takes[3].note = "=SUM(A1)";
    const auto found = day.cover();
    const auto next = *coverage::next_change(1, {12, 9});
    const auto text = coverage::table(found, next);
    CHECK_THAT(text, Catch::Contains("set 1, 12-9: change of ends in 7 points, when 28 are played"));
    CHECK_THAT(text, Catch::Contains("1 (1)"));

    const auto table = text::read_csv(coverage::csv(found), "coverage.csv");
    REQUIRE(table);
    CHECK(table->header.size() == 7);
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
