// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/card_files.h"
#include "support/catch.h"
#include "support/temp_folder.h"

#include <filesystem>
#include <fstream>

using namespace downball;
using namespace downball::pipeline;
using downball::test::TempFolder;
namespace fs = std::filesystem;

namespace {

void put(const std::string& path) {
    fs::create_directories(fs::path(path).parent_path());
    std::ofstream(path) << "x";
}

} // namespace

TEST_CASE("files are sorted by their ending, whatever its case") {
    CHECK(card_file("a/B.MP4") == CardFile::clip);
    CHECK(card_file("a.wav") == CardFile::clip);
    CHECK(card_file("a.Flac") == CardFile::clip);
    CHECK(card_file("GL010001.LRV") == CardFile::low_copy);
    CHECK(card_file("a.JPG") == CardFile::photo);
    CHECK(card_file("a.dng") == CardFile::photo);
    CHECK(card_file("C0001M01.XML") == CardFile::sidecar);
    CHECK(card_file("a.thm") == CardFile::sidecar);
    CHECK(card_file("a.txt") == CardFile::other);
    CHECK(card_file("mp4") == CardFile::other);
}

// Folders by the DCF rules: DCIM, below it three digits and five characters (JEITA CP-3461, from memory).
TEST_CASE("all folders below are read, in order, a card's DCIM too; hidden files and folders are not") {
    TempFolder folder;
    for (const auto* name :
         {"z.mp4", "b/DCIM/100ABCDE/a.MOV", "b/DCIM/100ABCDE/a.THM", "b/DCIM/101ABCDE/a.MOV", "b/x.jpg",
          "b/x.xml", ".trash/t.mp4", "b/.y.mp4", "b/._z.jpg", "memo.wav", "read.me", "b/notes"})
        put(folder / name);
    const auto files = files_below({folder.path()});
    REQUIRE(files);
    CHECK(files->clips == std::vector<std::string>{folder / "b/DCIM/100ABCDE/a.MOV",
                                                   folder / "b/DCIM/101ABCDE/a.MOV", folder / "memo.wav",
                                                   folder / "z.mp4"});
    CHECK(files->photos == std::vector<std::string>{folder / "b/x.jpg"});
    CHECK(files->sidecars.size() == 2);
    CHECK(files->others.size() == 2);
    CHECK(tell_skipped(*files, 3) == "1 photo, 2 sidecars, 3 proxies, 2 other files (.me)");
    CHECK(tell_skipped({}, 0).empty());
    CHECK(files_below({folder.path(), folder.path()})->clips.size() == 4); // named twice, found once
}

TEST_CASE("a footage folder that is not there is named") {
    TempFolder folder;
    const auto gone = files_below({folder / "gone"});
    REQUIRE_FALSE(gone);
    CHECK(gone.error().fault == Fault::bad_input);
    CHECK(gone.error().where == folder / "gone");
}

TEST_CASE("footage may be single files, beside folders and inside them") {
    TempFolder folder;
    for (const auto* name : {"cards/a.mp4", "cards/b.mp4", "loose.bin"})
        put(folder / name);
    const auto one = files_below({folder / "cards/b.mp4"});
    REQUIRE(one);
    CHECK(one->clips == std::vector<std::string>{folder / "cards/b.mp4"});
    const auto all = files_below({folder / "loose.bin", folder / "cards/b.mp4", folder / "cards"});
    REQUIRE(all);
    CHECK(all->clips ==
          std::vector<std::string>{folder / "cards/a.mp4", folder / "cards/b.mp4", folder / "loose.bin"});
}
