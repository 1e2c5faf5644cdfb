// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/last_outputs.h"
#include "support/catch.h"
#include "support/temp_folder.h"

#include "downball/files/files.h"

#include <fstream>

using namespace downball;
using namespace downball::pipeline;
using downball::test::TempFolder;
using files::content_hash;

namespace {

void put(const std::string& path, std::string_view content) {
    std::ofstream(path, std::ios::binary) << content;
}

} // namespace

TEST_CASE("only what the last report vouches for is overwritten") {
    TempFolder folder;
    const auto report = folder / "reel.report.json";
    const auto list = folder / "reel.edl";
    CHECK(may_overwrite(report, {list})); // nothing there yet
    put(list, "a list");
    CHECK_FALSE(may_overwrite(report, {list})); // no report speaks of it
    const auto report_with = [&](const std::string& hash) {
        return R"({"downball_report": 1, "outputs": [{"file": "reel.edl", "hash": ")" + hash + "\"}]}";
    };
    put(report, report_with(content_hash("a list")));
    CHECK(may_overwrite(report, {list}));
    put(list, "a list, changed by hand");
    const auto changed = may_overwrite(report, {list});
    REQUIRE_FALSE(changed);
    CHECK(changed.error().fault == Fault::cannot_write);
    CHECK(changed.error().where == list);
    put(report, "{}");
    CHECK(may_overwrite(report, {list}).error().where == report); // somebody else's file
}

TEST_CASE("what an earlier run left and this one does not write is still known, unless it was changed") {
    TempFolder folder;
    const auto report = folder / "reel.report.json";
    put(folder / "reel.edl", "a list");
    put(folder / "reel.song.wav", "a song");
    put(folder / "reel-part2.edl", "an old part");
    put(report, R"({"downball_report": 1, "outputs": [{"file": "reel.edl", "hash": ")" +
                    content_hash("a list") + R"("}, {"file": "reel.song.wav", "hash": ")" +
                    content_hash("a song") + R"("}, {"file": "reel-part2.edl", "hash": ")" +
                    content_hash("another part") + R"("}, {"file": "gone.edl", "hash": "00"}]})");
    const auto left = left_standing(report, {folder / "reel.edl"});
    REQUIRE(left.size() == 1);
    CHECK(left[0].first == "reel.song.wav");
    CHECK(left[0].second == content_hash("a song"));
    CHECK(left_standing(folder / "none.json", {}).empty());
}
