// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/page_stills.h"
#include "unit/media/counter_clips.h"

#include "downball/files/files.h"
#include "downball/preview/stills.h"

using namespace downball;
using namespace downball::test;

namespace {

// A reel of one shot, four seconds, of a clip that has lost its pictures 45 to 54; and the job that it is of.
struct Reel {
    TempFolder folder;
    job::Job job;
    Timeline timeline;

    Reel() {
        const auto path = folder / "clip.mp4";
        ffmpeg(counter("25", 4) +
               "-c:v libx264 -preset veryfast -bf 0 -x264-params keyint=10:min-keyint=10:scenecut=0 " + path);
        blot_pictures(path, 45, 55);
        job.folder = folder.path();
        job.name = "reel";
        job.out = ".";
        TimelineMedia clip;
        clip.path = path;
        clip.name = "clip.mp4";
        clip.id = "c0ffee";
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
    pipeline::PageStills made(bool fresh = false) const {
        auto stills = pipeline::page_stills(job, timeline, fresh, {});
        INFO((stills ? "" : to_string(stills.error())));
        REQUIRE(stills);
        return *stills;
    }
    // A page that holds these, and a report that knows it.
    void leave(const std::map<Frame, page::Still>& stills) const {
        std::string text;
        for (const auto& [at, still] : stills)
            text += fmt::format("<img data-still=\"{}\" src=\"data:image/jpeg;base64,{}\">", still.name,
                                still.base64);
        std::ofstream(folder / "reel.html") << text;
        std::ofstream(folder / "reel.report.json")
            << fmt::format(R"({{"downball_report": 1, "outputs": [{{"file": "reel.html", "hash": "{}"}}]}})",
                           files::content_hash(text));
    }
};

std::map<Frame, std::string> pictures(const pipeline::PageStills& stills) {
    std::map<Frame, std::string> all;
    for (const auto& [at, still] : stills.pictures)
        all[at] = still.base64;
    return all;
}

} // namespace

TEST_CASE("stills are taken over from the last page if it stands as it was written") {
    const Reel reel;
    const auto first = reel.made();
    CHECK(first.pictures.size() == 5);
    auto marked = first.pictures;
    marked[Frame{90}].base64 = "QUJD"; // by which to know it again
    reel.leave(marked);
    CHECK(reel.made().pictures.at(Frame{90}).base64 == "QUJD");
    CHECK(pictures(reel.made(true)) == pictures(first));
    std::ofstream(reel.folder / "reel.html", std::ios::app) << "<!-- by hand -->";
    CHECK(pictures(reel.made()) == pictures(first));
}

TEST_CASE("a page or report that is not as expected is not used") {
    const Reel reel;
    const auto first = reel.made();
    auto marked = first.pictures;
    marked[Frame{90}].base64 = "QUJD";
    for (const std::string report : {"", "{", "[]", R"({"downball_report": 1})",
                                     R"({"downball_report": 1, "outputs": [1, {"file": "reel.html"}]})"}) {
        INFO(report);
        reel.leave(marked);
        std::ofstream(reel.folder / "reel.report.json") << report;
        CHECK(pictures(reel.made()) == pictures(first));
    }
}

TEST_CASE("what cannot be decoded has no name to be taken over by, and the notes are the same again") {
    const Reel reel;
    const auto first = reel.made();
    REQUIRE(first.notes.size() == 1);
    CHECK(first.notes[0].find("clip.mp4: a slate stands for 2 stills of shot T1#80 (") == 0);
    for (const auto& [at, still] : first.pictures)
        CHECK(still.name.empty() == (at == Frame{47} || at == Frame{50}));
    reel.leave(first.pictures);
    const auto again = reel.made();
    CHECK(again.notes == first.notes);
    CHECK(pictures(again) == pictures(first));
}

TEST_CASE("a still of a file whose content nobody knows has no name") {
    Reel reel;
    CHECK(preview::still_name(reel.timeline, Frame{2}) == "c0ffee-1-10-208-82");
    reel.timeline.media[0].id.clear();
    CHECK(preview::still_name(reel.timeline, Frame{2}).empty());
}
