// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "support/hand_cut.h"
#include "support/otio_objects.h"

#include "downball/write/otio.h"

using namespace downball;
using namespace downball::test;
using text::Json;

namespace {

Json written(const Timeline& cut, bool absolute = false) {
    const auto text = write::otio(cut, {.folder = "/shoot/out", .absolute_urls = absolute, .media_root = {}});
    REQUIRE(text);
    const auto value = text::parse_json(*text, "cut.otio"); // strict: no key twice, no BOM, no NaN
    REQUIRE(value);
    return *value;
}

} // namespace

TEST_CASE("OTIO rule 16: objects fit the schema of the versions every reader takes") {
    const auto fits = text::validate(written(test::hand_cut()), "otio", "cut.otio");
    INFO((fits ? "" : fits.error().what));
    CHECK(fits);
    auto newer = written(test::hand_cut());
    newer.object()[0].second = "Timeline.2";
    CHECK_FALSE(text::validate(newer, "otio", "cut.otio"));
}

TEST_CASE("OTIO rule 17: the active media key exists") {
    const auto root = written(test::hand_cut());
    std::size_t clips = 0;
    each_object(root, [&](const Json& object) {
        if (const auto* schema = object.find("OTIO_SCHEMA"); schema && schema->string() == "Clip.2") {
            CHECK(at(reference(object), "OTIO_SCHEMA").string() == "ExternalReference.1");
            ++clips;
        }
    });
    CHECK(clips == 7);
}

TEST_CASE("OTIO rule 18: NTSC rates are written in full") {
    const Rate ntsc(30000, 1001);
    const auto text = *write::otio(test::long_cut(2, 10, ntsc, Counting::drop, Frame{107892}),
                                   {.folder = "/shoot/out", .absolute_urls = false, .media_root = {}});
    CHECK(text.find("29.97002997002997") != std::string::npos);
    CHECK(text.find("29.97,") == std::string::npos);
}

TEST_CASE("OTIO rules 19 and 25: whole list frames inside a range in the media's rate, from one origin") {
    const auto root = written(test::hand_cut());
    const auto& clips = children(root, 0);
    const auto& first = at(clips[0], "source_range");
    CHECK(start(first) == 900038);
    CHECK(length(first) == 40);
    CHECK(rate(first) == 25);
    const auto& available = at(reference(clips[0]), "available_range");
    CHECK(start(available) == 1800000);
    CHECK(length(available) == 1000);
    CHECK(rate(available) == 50);
    // A file in another clock: the origin is the list frame 2159950, which is 86398 s.
    const auto& other = at(reference(clips[3]), "available_range");
    CHECK(start(other) / rate(other) == Approx(86398).epsilon(1e-12));
    CHECK(length(other) == 239); // 8 s at 30000/1001
    // Without a rate of its own a file is counted in the list's.
    const auto& song = at(reference(children(root, 1)[0]), "available_range");
    CHECK(rate(song) == 25);
    CHECK(length(song) == 2000);
}

TEST_CASE("OTIO rule 20: a warp scales the media, not the item") {
    const auto root = written(test::hand_cut());
    const auto& slow = children(root, 0)[1];
    CHECK(length(at(slow, "source_range")) == 80);
    const auto& warp = at(slow, "effects").array().at(0);
    CHECK(at(warp, "OTIO_SCHEMA").string() == "LinearTimeWarp.1");
    CHECK(at(warp, "effect_name").string() == "LinearTimeWarp");
    CHECK(at(warp, "time_scalar").number() == 0.248);
    CHECK(at(children(root, 0)[0], "effects").array().empty());
}

TEST_CASE("OTIO rule 21: all tracks end on one frame, holes are gaps, start is the EDL's first record in") {
    const auto root = written(test::hand_cut());
    REQUIRE(tracks(root).size() == 3);
    for (std::size_t track = 0; track < 3; ++track) {
        double end = 0;
        for (const auto& child : children(root, track))
            end += length(at(child, "source_range"));
        CHECK(end == 250);
    }
    CHECK(at(children(root, 0)[2], "OTIO_SCHEMA").string() == "Gap.1");
    CHECK(at(children(root, 1)[1], "OTIO_SCHEMA").string() == "Gap.1");
    CHECK(children(root, 2).size() == 4); // sound, gap, sound, gap
    CHECK(at(at(root, "global_start_time"), "value").number() == 90000);
}

TEST_CASE("OTIO rule 22: markers stand in clip time") {
    const auto root = written(test::hand_cut());
    const auto marker = [&](std::size_t track, std::size_t child, std::size_t n) {
        return at(children(root, track)[child], "markers").array().at(n);
    };
    CHECK(start(at(marker(0, 0, 0), "marked_range")) == 900050); // 12 frames in
    CHECK(start(at(marker(0, 1, 0), "marked_range")) == 30);     // 10 frames in, whatever the warp
    CHECK(at(marker(0, 1, 0), "name").string() == "set T2#900");
    CHECK(start(at(marker(1, 0, 1), "marked_range")) == 175); // section 2 at record frame 125, song from 50
}

TEST_CASE("OTIO rule 23: both spellings of target_url") {
    const auto url = [](const Json& root, std::size_t child) {
        return at(reference(children(root, 0)[child]), "target_url").string();
    };
    CHECK(url(written(test::hand_cut()), 1) == "../cards/day%202/D%C3%BCne%20%233.mp4");
    CHECK(url(written(test::hand_cut(), true), 1) == "file:///shoot/cards/day%202/D%C3%BCne%20%233.mp4");
}

TEST_CASE("OTIO rule 24: own data only under one name, the reel there") {
    const auto root = written(test::hand_cut());
    each_object(root, [&](const Json& object) {
        if (const auto* metadata = object.find("metadata"))
            for (const auto& [key, value] : metadata->object())
                CHECK(key == "downball");
    });
    CHECK(at(at(at(children(root, 0)[1], "metadata"), "downball"), "reel").string() == "DNE3");
    CHECK(at(children(root, 0)[1], "name").string() == "D\xC3\xBCne #3.mp4"); // exact here
}
