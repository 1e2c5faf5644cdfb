// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/page_stills.h"
#include "unit/media/counter_clips.h"

#include "downball/media/content_id.h"
#include "downball/preview/stills.h"

using namespace downball;
using namespace downball::test;

namespace {

// A reel of one shot, four seconds, of a clip that has lost its pictures 45 to 54.
struct Reel {
    TempFolder folder;
    Timeline timeline;

    Reel() {
        const auto path = folder / "clip.mp4";
        ffmpeg(counter("25", 4) +
               "-c:v libx264 -preset veryfast -bf 0 -x264-params keyint=10:min-keyint=10:scenecut=0 " + path);
        blot_pictures(path, 45, 55);
        TimelineMedia clip;
        clip.path = path;
        clip.name = "clip.mp4";
        clip.id = *media::content_id(path);
        clip.rate = Rate(25);
        clip.has_video = true;
        timeline.rate = Rate(25);
        timeline.length = Frame{100};
        timeline.media = {clip};
        VideoEvent event;
        event.shot = "T1#80";
        event.media = 0;
        event.record = event.source = {Frame{0}, Frame{100}};
        event.contacts = {{Frame{2}, "pass"}, {Frame{47}, "set"}, {Frame{50}, "attack"}, {Frame{90}, "dig"}};
        timeline.video = {event};
    }
    pipeline::PageStills made(bool decode = true) const {
        analysis::Folder kept(folder / "analysis");
        auto stills = pipeline::page_stills(timeline, decode, kept, {});
        INFO((stills ? "" : to_string(stills.error())));
        REQUIRE(stills);
        return *stills;
    }
    std::size_t kept() const {
        std::error_code none;
        return static_cast<std::size_t>(
            std::distance(std::filesystem::directory_iterator(folder / "analysis", none), {}));
    }
};

} // namespace

TEST_CASE("stills that were made before are not decoded again, and the others only if wanted") {
    const Reel reel;
    CHECK(reel.made(false).pictures.empty());
    const auto first = reel.made();
    CHECK(first.pictures.size() == 5);
    CHECK(reel.kept() == 3); // two are slates
    std::filesystem::remove(reel.folder / "clip.mp4");
    const auto again = reel.made(false);
    CHECK(again.pictures.size() == 3);
    for (const auto& [at, picture] : again.pictures)
        CHECK(picture == first.pictures.at(at));
}

TEST_CASE("a still of a file that has become another is not kept under the id of the first") {
    const Reel reel;
    std::ofstream(reel.folder / "clip.mp4", std::ios::app) << "more";
    CHECK(reel.made().pictures.size() == 5);
    CHECK(reel.kept() == 0);
}

TEST_CASE("what cannot be decoded is not kept, and the notes are the same again") {
    const Reel reel;
    const auto first = reel.made();
    REQUIRE(first.notes.size() == 1);
    CHECK(first.notes[0].find("clip.mp4: a slate stands for 2 stills of shot T1#80 (") == 0);
    const auto again = reel.made();
    CHECK(again.notes == first.notes);
    CHECK(again.pictures == first.pictures);
}

TEST_CASE("a still of a file whose content nobody knows has no name") {
    Reel reel;
    reel.timeline.media[0].id = "c0ffee";
    CHECK(preview::still_name(reel.timeline, Frame{2}) == "c0ffee-1-10-208-82");
    reel.timeline.media[0].id.clear();
    CHECK(preview::still_name(reel.timeline, Frame{2}).empty());
}
