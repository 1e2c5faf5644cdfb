// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/sheet.h"
#include "support/catch.h"

using namespace downball;
using namespace downball::pipeline;

namespace {

struct Cut {
    Material material;
    CutPlan plan;
    Timeline timeline;

    Cut() {
        timeline.name = "reel";
        timeline.rate = Rate(25);
        timeline.start = Frame{90000};
        material.job.players["A1"] = {"A", "Mara Kjell"};
        material.job.players["A2"] = {"A", ""};
    }
    Take& add(std::int64_t frames, std::optional<std::int64_t> contact) {
        PlannedShot shot;
        shot.id = "T#1";
        shot.take = material.log.takes.size();
        shot.record = {timeline.length, timeline.length + Frame{frames}};
        VideoEvent event;
        event.shot = shot.id;
        event.record = shot.record;
        if (contact) event.contacts = {{shot.record.in + Frame{*contact}, "hit"}};
        timeline.video.push_back(event);
        timeline.length = shot.record.out;
        plan.length = timeline.length;
        plan.shots.push_back(shot);
        material.log.takes.emplace_back();
        return material.log.takes.back();
    }
    preview::SheetTexts texts() const { return sheet_texts(material, plan, timeline); }
};

} // namespace

TEST_CASE("the contact sheet shows each shot at its contact, or its middle, and says who does what") {
    Cut cut;
    auto& hit = cut.add(50, 20);
    hit.kind = Kind::action;
    hit.players = {"A1", "A2", "B9"};
    hit.impacts.resize(2);
    hit.impacts[1].skill = Skill::attack;
    cut.plan.shots[0].anchors = {{.impact = 1}};
    cut.add(30, std::nullopt).kind = Kind::cutaway;
    const auto texts = cut.texts();
    CHECK(texts.name == "reel");
    CHECK(texts.about == "3.2 s \u00b7 2 shots");
    REQUIRE(texts.tiles.size() == 2);
    CHECK(texts.tiles[0].shows == Frame{20});
    CHECK(texts.tiles[0].number == "1");
    CHECK(texts.tiles[0].label == "01:00:00:00");
    CHECK(texts.tiles[0].what == to_string(Skill::attack));
    CHECK(texts.tiles[0].players == std::vector<std::string>{"Mara Kjell", "A2", "B9"});
    CHECK(texts.tiles[1].shows == Frame{65});
    CHECK(texts.tiles[1].label == "01:00:02:00");
    CHECK(texts.tiles[1].what == to_string(Kind::cutaway));
    CHECK(texts.tiles[1].players.empty());
}

TEST_CASE("of a shot in parts the sheet shows the first contact, and a guess of none") {
    Cut cut;
    cut.add(50, std::nullopt).impacts.resize(1);
    cut.plan.shots[0].anchors = {{.impact = 0}}; // nobody knows which skill
    auto& first = cut.timeline.video[0];
    auto second = first;
    first.record.out = second.record.in = Frame{25};
    second.part = 1;
    second.contacts = {{Frame{30}, "hit"}, {Frame{40}, "hit"}};
    cut.timeline.video.push_back(second);
    const auto texts = cut.texts();
    REQUIRE(texts.tiles.size() == 1);
    CHECK(texts.tiles[0].shows == Frame{30});
    CHECK(texts.tiles[0].what == to_string(Kind::cutaway));
    CHECK(texts.about == "2.0 s \u00b7 1 shot");
}

TEST_CASE("a long reel's length is told in minutes") {
    Cut cut;
    cut.add(90 * 25 + 10, std::nullopt);
    CHECK(cut.texts().about == "1:30 min \u00b7 1 shot");
}
