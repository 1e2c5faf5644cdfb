// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/render_preview.h"
#include "support/catch.h"
#include "support/temp_folder.h"

#include <filesystem>

using namespace downball;
using namespace downball::pipeline;

TEST_CASE("what is wrong with a preview names files as the user knows them") {
    const test::TempFolder folder;
    Timeline timeline;
    timeline.rate = Rate(25);
    timeline.length = Frame{25};
    TimelineMedia song;
    song.name = "song.wav";
    timeline.media = {song};
    timeline.song = {{0, {Frame{0}, Frame{25}}, {Frame{0}, Frame{25}}, "", 0}};
    VideoEvent black;
    black.shot = "black";
    black.record = black.source = {Frame{0}, Frame{25}};
    timeline.video = {black};
    {
        files::OutputSet outputs;
        const std::string bytes = "no song";
        const auto made = render_preview(timeline, folder / "reel.mp4", {}, &bytes, outputs, {});
        REQUIRE_FALSE(made);
        CHECK(made.error().where == folder / "song.wav");
        const auto nowhere = render_preview(timeline, folder / "gone/reel.mp4", {}, nullptr, outputs, {});
        REQUIRE_FALSE(nowhere);
        CHECK(nowhere.error().where == folder / "gone/reel.mp4");
    }
    CHECK(std::filesystem::is_empty(folder.path()));
}
