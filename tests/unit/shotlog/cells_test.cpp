// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "shotlog/cells.h"
#include "support/catch.h"
#include "unit/shotlog/media_of.h"

#include "downball/match/ends.h"

using namespace downball;
using namespace downball::shotlog;

TEST_CASE("contacts are seconds, with a confidence where a hearing wrote them") {
    const auto contacts = parse_contacts(" 12.480:0.93  3 ");
    REQUIRE(contacts);
    REQUIRE(contacts->size() == 2);
    CHECK((*contacts)[0].seconds == 3);
    CHECK((*contacts)[0].confidence == 1);
    CHECK((*contacts)[0].by_hand);
    CHECK((*contacts)[1].seconds == 12.48);
    CHECK((*contacts)[1].confidence == 0.93);
    CHECK_FALSE((*contacts)[1].by_hand);
    CHECK(parse_contacts("-")->empty());
    CHECK(parse_contacts("")->empty());
}

TEST_CASE("an instant that stands twice in a cell is one contact, the surer one") {
    const auto contacts = parse_contacts("3:0.5 1.50 3.000:0.9 1.5:0.4 1.5 1.501:0.4");
    REQUIRE(contacts);
    REQUIRE(contacts->size() == 3);
    CHECK((*contacts)[0].seconds == 1.5);
    CHECK((*contacts)[0].confidence == 1);
    CHECK((*contacts)[0].by_hand);
    CHECK((*contacts)[1].seconds == 1.501);
    CHECK((*contacts)[2].seconds == 3);
    CHECK((*contacts)[2].confidence == 0.9);
    CHECK_FALSE((*contacts)[2].by_hand);
}

TEST_CASE("contacts that cannot be are refused") {
    for (const char* cell :
         {"12,5", "x", "-1", "1:2", "1:-0.1", "1:x", "nan", "1e300:0.5", "1:0.5:0.5", "- 1"})
        CHECK_FALSE(parse_contacts(cell));
    CHECK(parse_contacts("12,5").error().what.find("decimal point") != std::string::npos);
}

TEST_CASE("points are written with a dash, a colon or an en dash") {
    for (const char* cell : {"12-9", "12:9", " 12 - 9 ",
                             "12\xE2\x80\x93"
                             "9"}) {
        const auto score = match::parse_score(cell);
        REQUIRE(score);
        CHECK(score->a == 12);
        CHECK(score->b == 9);
    }
    for (const char* cell : {"12", "", "12-", "-9", "12-9-3", "12-Sep", "999-0", "a:b"})
        CHECK_FALSE(match::parse_score(cell));
}

TEST_CASE("an instant is seconds, frames or a label") {
    for (const char* cell : {"12.5", "0", "312f", "312F", "01:02:03:04", "01:02:03;04"})
        CHECK(is_instant(cell));
    for (const char* cell : {"", "-1", "f", "-3f", "1.5f", "12,5", "soon", "1:02", "99999999999999f"})
        CHECK_FALSE(is_instant(cell));
    const MediaInfo media = media_of("a.mp4");
    CHECK(*instant_s("2.5", media) == 2.5);
    CHECK(*instant_s("50f", media) == 2.0);
    CHECK(*instant_s("00:00:01:05", media) == Approx(1.2).margin(1e-12));
    CHECK_FALSE(instant_s("00:00:01:25", media));
}

TEST_CASE("a label counts from the file's own start, over midnight if need be") {
    MediaInfo media = media_of("a.mov", 20);
    media.start = StartTimecode{"23:59:55:00", *from_timecode("23:59:55:00", Rate(25), Counting::non_drop),
                                Rate(25), Counting::non_drop};
    CHECK(*instant_s("23:59:57:05", media) == Approx(2.2).margin(1e-12));
    CHECK(*instant_s("00:00:01:00", media) == Approx(6.0).margin(1e-12));
}

TEST_CASE("drop-frame labels count the frames that are there") {
    MediaInfo media = media_of("a.mov", 200, Rate(30000, 1001));
    media.start = StartTimecode{"00:00:59;29", Frame{1799}, Rate(30000, 1001), Counting::drop};
    CHECK(*instant_s("00:01:00;02", media) == Approx(1001.0 / 30000).margin(1e-12));
    CHECK_FALSE(instant_s("00:01:00;00", media));
}

TEST_CASE("a file at 100 pictures a second without a start has no labels") {
    const MediaInfo media = media_of("a.mp4", 10, Rate(100));
    CHECK(*instant_s("250f", media) == 2.5);
    const auto label = instant_s("00:00:01:00", media);
    REQUIRE_FALSE(label);
    CHECK(label.error().what.find("has no timecode; give seconds") != std::string::npos);
}

TEST_CASE("frames of a variable rate are where the file shows them") {
    MediaInfo media = media_of("phone.mp4", 0.2);
    media.rate.reset();
    media.frames = FrameTable{std::nullopt, {0, 0.04, 0.11}};
    CHECK(*instant_s("2f", media) == 0.11);
    CHECK(*instant_s("3f", media) == 0.2);
    CHECK_FALSE(instant_s("4f", media));
}
