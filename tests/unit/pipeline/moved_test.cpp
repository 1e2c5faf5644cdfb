// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/moved.h"
#include "support/catch.h"
#include "support/temp_folder.h"
#include "unit/media/clips.h"

#include <filesystem>
#include <fmt/format.h>
#include <fstream>

using namespace downball;
using namespace downball::pipeline;
using downball::shotlog::LoggedFile;
using downball::test::TempFolder;
namespace fs = std::filesystem;

namespace {

// A folder for the job, and files in it that hold what they are told.
struct Place {
    TempFolder folder;

    void put(const std::string& file, const std::string& content) {
        fs::create_directories(fs::path(folder / file).parent_path());
        std::ofstream(folder / file) << content;
    }
    Moved find(const std::vector<LoggedFile>& files, std::vector<std::string> below = {}) {
        if (below.empty()) below = {folder.path()};
        const auto moved = find_moved(files, folder.path(), below, {});
        REQUIRE(moved);
        return *moved;
    }
};

LoggedFile logged(const std::string& file, std::optional<std::uint64_t> bytes = {},
                  std::optional<double> duration_s = {}, int line = 2) {
    return {file, line, bytes, duration_s, false};
}

bool has(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

} // namespace

TEST_CASE("where no file is missing nothing is looked for") {
    Place place;
    place.put("a/x.mp4", "12");
    place.put("b/x.mp4", "12");
    const auto moved = place.find({logged("a/x.mp4", 2), logged("b/x.mp4", 99)});
    CHECK(moved.found.empty());
    CHECK(moved.lost.empty());
    CHECK(moved.looked_in.empty());
}

TEST_CASE("a file that has moved is found by its name and size, wherever it lies below the folders") {
    Place place;
    place.put("job/log.csv", "");
    place.put("new/deep/er/x.mp4", "1234");
    place.put("new/x.mp4", "12345");
    place.put("new/deep/y.MP4", "12");
    const auto below = std::vector{place.folder / "job", place.folder / "new", place.folder / "new/deep"};
    const auto moved = find_moved(std::vector{logged("../a/x.mp4", 4), logged("../a/y.mp4", 2, {}, 3)},
                                  place.folder / "job", below, {});
    REQUIRE(moved);
    CHECK(moved->found == std::map<std::string, std::string>{{"../a/x.mp4", "../new/deep/er/x.mp4"},
                                                             {"../a/y.mp4", "../new/deep/y.MP4"}});
    CHECK(moved->notes.empty());
    CHECK(moved->doubtful.empty());
}

TEST_CASE("the name as spelled comes before one of another case") {
    Place place;
    place.put("a/X.MP4", "12");
    place.put("b/x.mp4", "34");
    CHECK(place.find({logged("gone/x.mp4", 2)}).found.at("gone/x.mp4") == "b/x.mp4");
    CHECK(place.find({logged("gone/X.MP4", 2)}).found.at("gone/X.MP4") == "a/X.MP4");
    // As spelled it does not fit, in another case it does.
    place.put("b/x.mp4", "345");
    CHECK(place.find({logged("gone/x.mp4", 2)}).found.at("gone/x.mp4") == "a/X.MP4");
}

TEST_CASE("length counts as well as size, within 0.05 s") {
    Place place;
    fs::create_directories(place.folder / "b");
    test::write_clicks(place.folder / "b/x.wav", 8000, 1); // 2 s
    const auto bytes = fs::file_size(place.folder / "b/x.wav");
    CHECK(place.find({logged("x.wav", bytes, 2.0)}).found.at("x.wav") == "b/x.wav");
    CHECK(place.find({logged("x.wav", {}, 2.049)}).found.at("x.wav") == "b/x.wav");
    const auto other = place.find({logged("x.wav", bytes, 2.1)});
    CHECK(other.found.empty());
    CHECK(other.lost.at("x.wav") == "x.wav lies in b, but lasts 2.000 s, not 2.100 s");
}

TEST_CASE("what nearly is the file is named with the reason") {
    Place place;
    place.put("b/x.mp4", "123456789012");
    place.put("b/y.txt", "1");
    const auto moved = place.find({logged("a/x.mp4", 13), logged("a/y.mp4", 1, {}, 3)});
    CHECK(moved.found.empty());
    CHECK(moved.lost.at("a/x.mp4") == "x.mp4 lies in b, but has 12 bytes, not 13");
    CHECK(moved.lost.at("a/y.mp4").empty());
    CHECK(moved.looked_in == place.folder.path());
    // Not a media file, so its length is not known.
    CHECK(place.find({logged("a/x.mp4", 12, 1.0)}).lost.at("a/x.mp4") ==
          "x.mp4 lies in b, but cannot be read");
}

TEST_CASE(
    "where the log tells neither size nor length, the only file of the name is taken, and that is told") {
    Place place;
    place.put("b/x.mp4", "12");
    const auto one = place.find({logged("a/x.mp4")});
    CHECK(one.found.at("a/x.mp4") == "b/x.mp4");
    REQUIRE(one.notes.size() == 1);
    CHECK(has(one.notes[0], "b/x.mp4: taken for a/x.mp4 by its name alone"));

    place.put("c/x.mp4", "34");
    const auto two = place.find({logged("a/x.mp4", {}, {}, 7)});
    CHECK(two.found.empty());
    REQUIRE(two.doubtful.size() == 1);
    CHECK(two.doubtful[0] ==
          "line 7, a/x.mp4: no such file; it may be one of b/x.mp4, c/x.mp4; check them, and "
          "say in column file which it is");
}

TEST_CASE("of copies the first by path is taken, with a note") {
    Place place;
    for (const auto* file : {"c/x.wav", "b/x.wav", "d/x.wav"}) {
        fs::create_directories(fs::path(place.folder / file).parent_path());
        test::write_clicks(place.folder / file, 8000, 1);
    }
    const auto bytes = fs::file_size(place.folder / "b/x.wav");
    const auto moved = place.find({logged("a/x.wav", bytes, 2.0)});
    CHECK(moved.found.at("a/x.wav") == "b/x.wav");
    REQUIRE(moved.notes.size() == 1);
    CHECK(moved.notes[0] == "a/x.wav: 3 files elsewhere have its content; b/x.wav is taken");

    // Of one size, but another content.
    test::write_clicks(place.folder / "d/x.wav", 8000, 1, {0.7});
    REQUIRE(fs::file_size(place.folder / "d/x.wav") == bytes);
    const auto doubt = place.find({logged("a/x.wav", bytes, 2.0)});
    CHECK(doubt.found.empty());
    REQUIRE(doubt.doubtful.size() == 1);
    CHECK(has(doubt.doubtful[0], "b/x.wav, c/x.wav, d/x.wav"));
}

TEST_CASE("the file of another row is not taken, and two rows do not take one file") {
    Place place;
    place.put("b/x.mp4", "12");
    const auto moved = place.find({logged("a/x.mp4"), logged("b/x.mp4", 2, {}, 3)});
    CHECK(moved.found.empty());
    CHECK(moved.lost.at("a/x.mp4") == "x.mp4 lies in b, but is the file of line 3");

    place.put("c/y.mp4", "1");
    const auto both = place.find({logged("a/y.mp4"), logged("b/y.mp4", {}, {}, 3)});
    CHECK(both.found.empty());
    REQUIRE(both.doubtful.size() == 2);
    CHECK(has(both.doubtful[0], "c/y.mp4 may be this file or that of line 3"));
    CHECK(has(both.doubtful[1], "c/y.mp4 may be this file or that of line 2"));
}

TEST_CASE("two files of one name, both moved, are told apart by their sizes") {
    Place place;
    place.put("new/1/x.mp4", "1");
    place.put("new/2/x.mp4", "22");
    const auto moved = place.find({logged("a/x.mp4", 2), logged("b/x.mp4", 1, {}, 3)});
    CHECK(moved.found ==
          std::map<std::string, std::string>{{"a/x.mp4", "new/2/x.mp4"}, {"b/x.mp4", "new/1/x.mp4"}});
}

TEST_CASE("a file that is never used stops nobody") {
    Place place;
    place.put("b/x.mp4", "12");
    place.put("c/x.mp4", "34");
    auto never = logged("a/x.mp4");
    never.never = true;
    const auto doubt = place.find({never});
    CHECK(doubt.doubtful.empty());
    CHECK(has(doubt.lost.at("a/x.mp4"), "b/x.mp4, c/x.mp4"));

    place.put("d/y.mp4", "1");
    auto other = logged("a/y.mp4", 1);
    other.never = true;
    const auto claimed = place.find({other, logged("b/y.mp4", 1, {}, 3)});
    CHECK(claimed.found == std::map<std::string, std::string>{{"b/y.mp4", "d/y.mp4"}});
}

TEST_CASE("two spellings of a missing path are one file") {
    Place place;
    place.put("b/x.mp4", "12");
    const auto moved = place.find({logged("a/x.mp4", 2), logged("./a/../a/x.mp4", {}, {}, 3)});
    CHECK(moved.found.at("a/x.mp4") == "b/x.mp4");
    CHECK(moved.found.at("./a/../a/x.mp4") == "b/x.mp4");
    CHECK(moved.doubtful.empty());
}

TEST_CASE(
    "links in circles are not followed, hidden files not looked at, and a link to a file is that file") {
    Place place;
    place.put("b/.trash/x.mp4", "12");
    place.put("b/.x.mp4", "12");
    place.put("b/x.mp4", "12");
    fs::create_directory_symlink(place.folder.path(), place.folder / "b/round");
    fs::create_directory_symlink(place.folder / "b", place.folder / "b/self");
    fs::create_symlink(place.folder / "b/x.mp4", place.folder / "x.mp4");
    const auto moved = place.find({logged("a/x.mp4", 2)}, {place.folder / "b", place.folder.path()});
    CHECK(moved.found.at("a/x.mp4") == "b/x.mp4");
    CHECK(moved.notes.empty()); // one file, two ways to it
    CHECK(moved.looked_in == place.folder.path());
    // Named itself, a link to a folder is read.
    const auto named = find_moved(std::vector{logged("a/x.mp4", 2)}, place.folder.path(),
                                  {place.folder / "b/self", place.folder / "nowhere"}, {});
    REQUIRE(named);
    CHECK(named->found.at("a/x.mp4") == "b/x.mp4");
    CHECK(has(named->looked_in, "nowhere (not there)"));
}

TEST_CASE("one file of ten thousand, and all of them") {
    Place place;
    constexpr int count = 10000;
    std::vector<LoggedFile> all;
    for (int i = 0; i < count; ++i) {
        const auto name = fmt::format("C{:05}.mp4", i);
        place.put(fmt::format("new/{}/{}", i / 500, name), std::string(static_cast<std::size_t>(i % 7), 'x'));
        all.push_back(logged("old/" + name, i % 7, {}, i + 2));
    }
    CHECK(place.find({all[7777]}).found.at("old/C07777.mp4") == "new/15/C07777.mp4");
    const auto moved = place.find(all);
    CHECK(moved.found.size() == count);
    CHECK(moved.lost.empty());
    const auto note = moved_note(moved.found);
    CHECK(has(note, "10000 files have moved since the log was made: C00000.mp4 (old -> new/0), "));
    CHECK(has(note, " and 9994 more"));
    CHECK(note.size() < 400);
}

TEST_CASE("what has moved is told by name and both folders") {
    CHECK(moved_note({}).empty());
    CHECK(moved_note({{"cards/a/A001.mp4", "/new/place/A001.mp4"}}) ==
          "a file has moved since the log was made: A001.mp4 (cards/a -> /new/place); `downball log` enters "
          "the "
          "new place");
    CHECK(tell_moves({{"x.MP4", "b/x.mp4"}}, 6) == "x.MP4 (. -> b/x.mp4)");
}

TEST_CASE("a stop that was asked for ends the search") {
    Place place;
    place.put("b/x.mp4", "12");
    std::stop_source stop;
    stop.request_stop();
    const auto moved = find_moved(std::vector{logged("a/x.mp4")}, place.folder.path(), {place.folder.path()},
                                  stop.get_token());
    REQUIRE_FALSE(moved);
    CHECK(moved.error().fault == Fault::interrupted);
}
