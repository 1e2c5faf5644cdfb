// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "write/target_url.h"

using namespace downball;
using write::OtioOptions;
using write::target_url;

TEST_CASE("OTIO rule 23: relative urls start at the list's folder, without ./") {
    const OtioOptions options{.folder = "/shoot/out", .absolute_urls = false, .media_root = {}};
    CHECK(*target_url("/shoot/out/a.mp4", options) == "a.mp4");
    CHECK(*target_url("/shoot/cards/a.mp4", options) == "../cards/a.mp4");
    CHECK(*target_url("/shoot/./cards/../cards/a.mp4", options) == "../cards/a.mp4");
    CHECK(*target_url("/other/a.mp4", options) == "../../other/a.mp4");
    CHECK_FALSE(target_url("cards/a.mp4", options));
    CHECK(*target_url("cards/a.mp4", {.folder = "out", .absolute_urls = false, .media_root = {}}) ==
          "../cards/a.mp4");
}

TEST_CASE("OTIO rule 23: urls are percent-encoded, byte by byte") {
    const OtioOptions options{.folder = "/", .absolute_urls = true, .media_root = {}};
    CHECK(*target_url("/c/D\xC3\xBCne #3 50%?.mp4", options) == "file:///c/D%C3%BCne%20%233%2050%25%3F.mp4");
    CHECK(*target_url("/c/a-b_c.d~e/f.mp4", options) == "file:///c/a-b_c.d~e/f.mp4");
    CHECK_FALSE(target_url("c/a.mp4", options));
}

TEST_CASE("OTIO rule 23: media_root spells the footage as the editor's machine does") {
    OtioOptions options{.folder = "/shoot/out",
                        .absolute_urls = false,
                        .media_root = std::pair{"/shoot/cards/", "D:\\beach day"}};
    CHECK(*target_url("/shoot/cards/1/a.mp4", options) == "file:///D:/beach%20day/1/a.mp4");
    CHECK(*target_url("/shoot/cardsX/a.mp4", options) == "../cardsX/a.mp4");
    options.media_root->second = "/Volumes/BEACH";
    CHECK(*target_url("/shoot/cards/1/a.mp4", options) == "file:///Volumes/BEACH/1/a.mp4");
    options.media_root->second = "//store/beach";
    CHECK(*target_url("/shoot/cards/1/a.mp4", options) == "file://store/beach/1/a.mp4");
    options.media_root->second = "../media";
    CHECK(*target_url("/shoot/cards/1/a.mp4", options) == "../media/1/a.mp4");
}
