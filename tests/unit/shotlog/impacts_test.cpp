// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "shotlog/impacts.h"
#include "support/catch.h"
#include "unit/shotlog/media_of.h"

using namespace downball;
using namespace downball::shotlog;

namespace {

std::vector<Impact> impacts_of(const std::vector<SoundContact>& contacts, const std::vector<double>& marks,
                               SoundPath path = {}) {
    return make_impacts("T1", contacts, marks, path);
}

std::vector<Impact> hits(const std::vector<double>& strengths) {
    std::vector<Impact> all;
    for (const double strength : strengths)
        all.push_back({"", 0, 0, 1, strength, ContactSource::heard, std::nullopt});
    return all;
}

std::vector<std::optional<Skill>> given(const std::vector<Skill>& skills,
                                        const std::vector<double>& strengths) {
    auto impacts = hits(strengths);
    give_skills(skills, impacts);
    std::vector<std::optional<Skill>> out;
    for (const Impact& impact : impacts)
        out.push_back(impact.skill);
    return out;
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

TEST_CASE("as many skills as impacts: one each, in order of play") {
    CHECK(given({Skill::pass, Skill::set, Skill::attack}, {0.9, 0.9, 0.1}) ==
          std::vector<std::optional<Skill>>{Skill::pass, Skill::set, Skill::attack});
}

TEST_CASE("one skill goes to the hardest hit, the earlier of equals") {
    CHECK(given({Skill::dig}, {0.2, 0.8, 0.5}) == std::vector<std::optional<Skill>>{none, Skill::dig, none});
    CHECK(given({Skill::dig}, {0.5, 0.5}) == std::vector<std::optional<Skill>>{Skill::dig, none});
}

TEST_CASE("too few impacts: the hard skills are the ones that were heard, in order") {
    CHECK(given({Skill::pass, Skill::set, Skill::attack}, {0.4, 0.9}) ==
          std::vector<std::optional<Skill>>{Skill::pass, Skill::attack});
    CHECK(given({Skill::serve, Skill::pass, Skill::set, Skill::attack}, {0.9}) ==
          std::vector<std::optional<Skill>>{Skill::attack});
}

TEST_CASE("too many impacts: the hard skill takes the hard one and the order stays") {
    CHECK(given({Skill::set, Skill::attack}, {0.3, 0.2, 0.9, 0.1}) ==
          std::vector<std::optional<Skill>>{Skill::set, none, Skill::attack, none});
    CHECK(given({}, {0.3}) == std::vector<std::optional<Skill>>{none});
    CHECK(given({Skill::set}, {}).empty());
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
