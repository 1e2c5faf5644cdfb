// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "shotlog/impacts.h"
#include "support/catch.h"
#include "unit/shotlog/media_of.h"

#include <cstdint>

using namespace downball;
using namespace downball::shotlog;

namespace {

std::vector<Impact> impacts_of(const std::vector<SoundContact>& contacts, const std::vector<double>& marks,
                               SoundPath path = {}) {
    return make_impacts("T1", contacts, marks, path);
}

struct Hit {
    double seconds = 0;
    double strength = 0.9;
    double confidence = 0.95;
    std::optional<double> hard = {};
};

std::vector<Impact> skilled(const std::vector<Skill>& skills, const std::vector<Hit>& hits,
                            double slowed = 1) {
    std::vector<Impact> impacts;
    for (const Hit& hit : hits)
        impacts.push_back({"", hit.seconds, hit.seconds, hit.confidence, hit.strength, ContactSource::heard,
                           std::nullopt, false, false, hit.hard});
    RallyReader reader;
    give_skills(skills, impacts, slowed, 0.5, reader);
    return impacts;
}

using Given = std::vector<std::optional<Skill>>;

Given given(const std::vector<Skill>& skills, const std::vector<Hit>& hits, double slowed = 1) {
    Given out;
    for (const Impact& impact : skilled(skills, hits, slowed))
        out.push_back(impact.skill);
    return out;
}

bool all_sure(const std::vector<Skill>& skills, const std::vector<Hit>& hits, double slowed = 1) {
    for (const Impact& impact : skilled(skills, hits, slowed))
        if (!impact.skill_sure) return false;
    return true;
}

constexpr std::nullopt_t none = std::nullopt;

} // namespace

TEST_CASE("the picture of a contact lies before its sound by the way of the sound and the camera's offset") {
    const auto impacts = impacts_of({{5.25, 0.9, 0.7, ContactSource::heard, false}}, {}, {0.05, 1});
    REQUIRE(impacts.size() == 1);
    CHECK(impacts[0].sound_s == 5.25);
    CHECK(impacts[0].picture_s == Approx(5.2).margin(1e-12));
    CHECK(impacts[0].id == "T1#5250");
    CHECK(impacts[0].confidence == 0.9);
    CHECK(impacts[0].strength == 0.7);
}

TEST_CASE("a mark within 60 ms replaces the picture instant and nothing else") {
    const std::vector<SoundContact> heard{{2.0, 0.4, 0.7, ContactSource::heard, false}};
    const auto near = impacts_of(heard, {1.96}, {0.1, 1}); // heard picture at 1.9: 60 ms
    REQUIRE(near.size() == 1);
    CHECK(near[0].picture_s == 1.96);
    CHECK(near[0].sound_s == 2.0);
    CHECK(near[0].id == "T1#2000");
    CHECK(near[0].confidence == 1);
    CHECK(near[0].strength == 0.7);
    CHECK(near[0].source == ContactSource::mark);

    const auto far = impacts_of(heard, {1.961}, {0.1, 1});
    REQUIRE(far.size() == 2);
    CHECK(far[0].source == ContactSource::heard);
    CHECK(far[1].picture_s == 1.961);
    CHECK(far[1].sound_s == Approx(2.061).margin(1e-12));
    CHECK(far[1].id == "T1#1961");
}

TEST_CASE("in a clip played slower than life the reach of a mark is stretched too") {
    const std::vector<SoundContact> heard{{2.0, 0.4, 0.7, ContactSource::heard, false}};
    CHECK(impacts_of(heard, {2.2}, {0, 4}).size() == 1);
    CHECK(impacts_of(heard, {2.2}, {0, 1}).size() == 2);
}

TEST_CASE("marks and contacts pair off without crossing") {
    const auto impacts = impacts_of(
        {{1.00, 1, 1, ContactSource::heard, false}, {1.05, 1, 1, ContactSource::heard, false}}, {1.04, 1.06});
    REQUIRE(impacts.size() == 2);
    CHECK(impacts[0].id == "T1#1000");
    CHECK(impacts[0].picture_s == 1.04);
    CHECK(impacts[1].id == "T1#1050");
    CHECK(impacts[1].picture_s == 1.06);
}

TEST_CASE("the same mark twice is one") {
    CHECK(impacts_of({}, {2.0, 1.0, 2.0}).size() == 2);
}

TEST_CASE("one mark between two contacts takes the nearer one") {
    const auto impacts = impacts_of(
        {{1.00, 1, 1, ContactSource::heard, false}, {1.05, 1, 1, ContactSource::heard, false}}, {1.03});
    REQUIRE(impacts.size() == 2);
    CHECK(impacts[0].picture_s == 1.0);
    CHECK(impacts[1].picture_s == 1.03);
    CHECK(impacts[1].id == "T1#1050");
}

TEST_CASE("ids are unique within a take") {
    const auto impacts =
        impacts_of({{5.0, 1, 1, ContactSource::logged, true}, {5.0002, 1, 1, ContactSource::logged, true}},
                   {5.0}, {0.2, 1});
    REQUIRE(impacts.size() == 3);
    CHECK(impacts[0].id == "T1#5000");
    CHECK(impacts[1].id == "T1#5001");
    CHECK(impacts[2].id == "T1#5002");
}

TEST_CASE("what a reader has read before changes nothing") {
    const std::vector<RallyContact> contacts{{1, 0.9, 0.5}, {1.7, 0.8, 0.3}, {3, 0.4, 0.2}, {3.9, 0.9, 0.9}};
    RallyReader used;
    // More lists of skills than a reader keeps, each twice.
    for (int n = 0; n < 2 * 216; ++n) {
        std::vector<Skill> skills;
        for (const int place : {n % 6, n / 6 % 6, n / 36 % 6})
            skills.push_back(all_skills[static_cast<std::size_t>(place)]);
        CHECK(used.read(skills, contacts) == RallyReader().read(skills, contacts));
    }
}

// Times between contacts: ball flights of 1 to 2.5 m up take 0.9 to 1.4 s (free flight, 2 sqrt(2h/g)); a serve
// of 13 m at 13.2 to 27 m/s 0.48 to 0.99 s; an attack of 6 m at those speeds 0.22 to 0.46 s.
TEST_CASE("as many skills as impacts, at the times of a rally: one each in order, and sure") {
    const std::vector<Skill> skills{Skill::serve, Skill::pass, Skill::set, Skill::attack};
    const std::vector<Hit> hits{{1, 0.9}, {1.7, 0.9}, {3, 0.9}, {4.2, 0.3}};
    CHECK(given(skills, hits) == Given{Skill::serve, Skill::pass, Skill::set, Skill::attack});
    CHECK(all_sure(skills, hits));
    CHECK(all_sure({Skill::set}, {{1, 0.9, 0.5}}));
    CHECK_FALSE(all_sure({Skill::set}, {{1}, {2.2}}));
}

TEST_CASE("as many skills as impacts, at times that a rally does not have: a guess") {
    // The set was not heard, the dig after the attack was.
    const std::vector<Skill> skills{Skill::pass, Skill::set, Skill::attack};
    const std::vector<Hit> hits{{1}, {3.5}, {3.8}};
    CHECK(given(skills, hits) == Given{Skill::pass, Skill::attack, none});
    CHECK_FALSE(all_sure(skills, hits));
}

TEST_CASE("a set that was not heard leaves its gap") {
    const std::vector<Skill> skills{Skill::serve, Skill::pass, Skill::set,   Skill::attack,
                                    Skill::dig,   Skill::set,  Skill::attack};
    CHECK(given(skills, {{1}, {1.9}, {4.4}, {4.75}, {7.2}}) ==
          Given{Skill::serve, Skill::pass, Skill::attack, Skill::dig, Skill::attack});
}

TEST_CASE("one skill among several contacts: the times around it tell which") {
    CHECK(given({Skill::dig}, {{0.8}, {1.2}, {2.4}}) == Given{none, Skill::dig, none});
    CHECK(given({Skill::pass}, {{0.4}, {1.1}, {2.3}}) == Given{none, Skill::pass, none});
    CHECK(given({Skill::attack}, {{0.5, 0.4}, {1.7}}) == Given{none, Skill::attack});
}

// A ball flies a second to a set and a second from one: of two contacts the set is the first if the second is an
// attack, the second if the first is a pass.
TEST_CASE("one skill among several contacts: where times cannot tell, the sound does") {
    const auto set_of = [](std::optional<double> first, std::optional<double> second) {
        return given({Skill::set}, {{1, 0.5, 0.95, first}, {2.1, 0.5, 0.95, second}});
    };
    CHECK(set_of(0.1, 0.9) == Given{Skill::set, none});
    CHECK(set_of(0.1, 0.1) == Given{none, Skill::set});
    CHECK(set_of(none, 0.9) == Given{Skill::set, none});
    CHECK(set_of(none, 0.1) == Given{none, Skill::set});
    CHECK(set_of(0.45, 0.45) == set_of(none, none)); // no more than any contact
    // It does not outweigh times that can tell.
    CHECK(given({Skill::dig}, {{0.8, 0.9, 0.95, 0.2}, {1.2, 0.9, 0.95, 0.8}, {2.4, 0.9, 0.95, 0.2}}) ==
          Given{none, Skill::dig, none});
}

TEST_CASE("a block goes into the sound of its attack") {
    CHECK(given({Skill::set, Skill::attack, Skill::block}, {{0.4}, {1.6}}) ==
          Given{Skill::set, Skill::attack});
    const auto blocked = skilled({Skill::set, Skill::attack, Skill::block}, {{0.4}, {1.6}});
    CHECK_FALSE(blocked[0].with_block);
    CHECK(blocked[1].with_block);
    for (const Impact& impact : skilled({Skill::set, Skill::attack, Skill::dig}, {{0.4}, {1.6}}))
        CHECK_FALSE(impact.with_block);
    for (const Impact& impact : skilled({Skill::attack, Skill::block}, {{0.4}, {0.5}}))
        CHECK_FALSE(impact.with_block); // 100 ms: heard apart
}

TEST_CASE("times are those of real life") {
    const std::vector<Skill> skills{Skill::attack, Skill::dig};
    CHECK(all_sure(skills, {{4}, {5.4}}, 4)); // 0.35 s
    CHECK_FALSE(all_sure(skills, {{4}, {5.4}}, 1));
}

TEST_CASE("a contact that is too unsure to be used has no skill and does not count") {
    const auto impacts = skilled({Skill::set, Skill::attack}, {{1}, {1.6, 0.9, 0.2}, {2.2}});
    CHECK(impacts[0].skill_sure);
    CHECK_FALSE(impacts[1].skill);
    CHECK(impacts[2].skill == Skill::attack);
}

TEST_CASE("no skills, or no contacts, give nothing") {
    CHECK(given({}, {{0.3}}) == Given{none});
    CHECK(given({Skill::set}, {}).empty());
}

TEST_CASE("law: each skill is given once at most, and in order") {
    std::uint32_t seed = 7;
    const auto draw = [&](std::uint32_t below) {
        return (seed = seed * 1664525u + 1013904223u) / 65536 % below;
    };
    for (int round = 0; round < 100; ++round) {
        std::vector<Skill> skills;
        for (std::uint32_t n = draw(7); n > 0; --n)
            skills.push_back(static_cast<Skill>(draw(6)));
        std::vector<Hit> hits;
        double at = 0;
        for (std::uint32_t n = draw(9); n > 0; --n)
            hits.push_back({at += draw(300) / 100.0, draw(100) / 100.0, 0.5 + draw(50) / 100.0});
        std::size_t next = 0;
        for (const auto& skill : given(skills, hits)) {
            if (!skill) continue;
            while (next < skills.size() && skills[next] != *skill)
                ++next;
            REQUIRE(next < skills.size());
            ++next;
        }
    }
}

TEST_CASE("the take's distance and capture rate come before the camera's") {
    Row row;
    const MediaInfo media = media_of("a.mp4", 10, Rate(25));
    CameraSettings camera{0.01, 34.32, 100.0};
    CHECK(sound_path(row, media, camera, 20).later_by_s == Approx(0.01 + 0.1 * 4).margin(1e-12));
    CHECK(sound_path(row, media, camera, 20).slowed == 4);
    row.distance_m = 0;
    row.tags.capture_fps = 50;
    CHECK(sound_path(row, media, camera, 20).later_by_s == Approx(0.01).margin(1e-12));
    CHECK(sound_path(row, media, camera, 20).slowed == 2);
    CHECK(sound_path(Row{}, media, {}, 20).later_by_s == 0);
}
