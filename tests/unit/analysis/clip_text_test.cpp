// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "analysis/clip_text.h"
#include "analysis/sealed.h"
#include "support/catch.h"
#include "unit/analysis/spoil.h"
#include "unit/analysis/values.h"

#include "downball/text/json.h"

#include <memory>

using namespace downball;
using namespace downball::analysis;
using namespace downball::test;
using text::Json;

namespace {

void check_same(const MediaInfo& a, const MediaInfo& b) {
    CHECK(a.id == b.id);
    CHECK(a.bytes == b.bytes);
    CHECK(bits({a.duration_s, a.average_fps, a.frames.off_s}) ==
          bits({b.duration_s, b.average_fps, b.frames.off_s}));
    CHECK(a.has_video == b.has_video);
    CHECK(a.rate == b.rate);
    CHECK(a.frames.constant == b.frames.constant);
    CHECK(a.variable_rate == b.variable_rate);
    CHECK(bits(a.frames.shown_s) == bits(b.frames.shown_s));
    CHECK(std::vector{a.width, a.height, a.rotation} == std::vector{b.width, b.height, b.rotation});
    REQUIRE(a.start.has_value() == b.start.has_value());
    if (a.start) {
        CHECK(a.start->label == b.start->label);
        CHECK(a.start->at.n == b.start->at.n);
        CHECK(a.start->rate == b.start->rate);
        CHECK(a.start->counting == b.start->counting);
    }
    REQUIRE(a.audio.has_value() == b.audio.has_value());
    if (a.audio) {
        CHECK(a.audio->rate_hz == b.audio->rate_hz);
        CHECK(a.audio->channels == b.audio->channels);
        CHECK(bits({a.audio->first_s, a.audio->end_s}) == bits({b.audio->first_s, b.audio->end_s}));
    }
    CHECK(a.created == b.created);
    CHECK(a.time_of_day_s == b.time_of_day_s);
    CHECK(a.device == b.device);
    CHECK(a.card_reel == b.card_reel);
}

void check_same(const Hearing& a, const Hearing& b) {
    REQUIRE(a.contacts.size() == b.contacts.size());
    for (std::size_t i = 0; i < a.contacts.size(); ++i) {
        const auto &one = a.contacts[i], &other = b.contacts[i];
        CHECK(bits({one.sound_s, one.confidence, one.strength, one.hard}) ==
              bits({other.sound_s, other.confidence, other.strength, other.hard}));
        CHECK(one.rally == other.rally);
    }
    CHECK(bits(a.crowd) == bits(b.crowd));
    CHECK(a.notes == b.notes);
}

// Through the text of a file, as a folder keeps it.
Json there_and_back(const Document& document, const text::JsonObject& found) {
    auto read = unsealed(document, sealed(document, found));
    REQUIRE(read.seal == Seal::whole);
    return std::move(read.found);
}

} // namespace

TEST_CASE("a clip comes back as it was kept, to the last bit") {
    Dice dice(20);
    for (int round = 0; round < 200; ++round) {
        CAPTURE(round);
        const auto clip = any_clip(dice);
        const auto back = clip_from(there_and_back(clip_document(clip.media.id), to_json(clip)));
        REQUIRE(back);
        check_same(clip.media, back->media);
        REQUIRE(clip.hearing.has_value() == back->hearing.has_value());
        if (clip.hearing) check_same(*clip.hearing, *back->hearing);
        CHECK(clip.unheard == back->unheard);
        CHECK(clip.listened() == back->listened());
    }
}

TEST_CASE("a file's own account of itself comes back alone") {
    Dice dice(21);
    for (int round = 0; round < 50; ++round) {
        const auto media = any_media(dice);
        const auto back = media_from(Json(media_to_json(media)));
        REQUIRE(back);
        check_same(media, *back);
    }
}

TEST_CASE("clips as they are kept fit the schema") {
    Dice dice(22);
    for (int round = 0; round < 50; ++round) {
        const auto clip = any_clip(dice);
        const auto document = clip_document(clip.media.id);
        const auto root = text::parse_json(sealed(document, to_json(clip)), document.name);
        REQUIRE(root);
        const auto fits = text::validate(*root, "analysis", document.name);
        INFO((fits ? std::string() : to_string(fits.error())));
        CHECK(fits);
    }
}

TEST_CASE("a clip with a member missing or of another type is none") {
    Dice dice(23);
    auto clip = any_clip(dice);
    clip.media.variable_rate = true;
    clip.media.rate = Rate(25);
    clip.media.frames.shown_s = {0, 0.04};
    clip.media.start = StartTimecode{"00:00:01;02", Frame{32}, Rate(30000, 1001), Counting::drop};
    clip.media.audio = AudioInfo{48000, 2, 0.5, 2.5};
    clip.media.created = "2026-07-04T10:00:00Z";
    clip.media.time_of_day_s = 36000.5;
    clip.hearing = Hearing{{{1, 0.5, 0.5, 0.5, 0}}, 0.25, {"a note"}};
    const Json whole(to_json(clip));
    REQUIRE(clip_from(whole));
    CHECK(each_spoilt(whole, [](const Json& spoilt) { return clip_from(spoilt).has_value(); }) > 100);
    for (const Json& none :
         {Json(), Json(3), Json("text"), Json(text::JsonArray{}), Json(text::JsonObject{})})
        CHECK_FALSE(clip_from(none));
}

TEST_CASE("a rate is two whole numbers from 1 up, or nothing") {
    Dice dice(24);
    auto found = media_to_json(any_media(dice));
    const auto with_rate = [&](Json rate) {
        for (auto& [name, value] : found)
            if (name == "rate") value = rate;
        return media_from(Json(found));
    };
    CHECK(with_rate(text::JsonArray{24000, 1001})->rate == Rate(24000, 1001));
    CHECK_FALSE(with_rate(Json())->rate);
    for (const Json& wrong :
         {Json(text::JsonArray{25}), Json(text::JsonArray{25, 0}), Json(text::JsonArray{0, 1}),
          Json(text::JsonArray{-25, 1}), Json(text::JsonArray{25, 1, 1}), Json(25)})
        CHECK_FALSE(with_rate(wrong));
}

TEST_CASE("a clip's document bears the versions of what found it") {
    const auto document = clip_document("0123456789abcdef");
    CHECK(document.name == "0123456789abcdef.clip.json");
    CHECK(document.kind == "clip");
    CHECK(document.versions.size() == 3);
}
