// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/card_copy.h"
#include "support/catch.h"
#include "support/temp_folder.h"

#include "downball/files/files.h"

#include <algorithm>
#include <csignal>
#include <filesystem>
#include <fstream>
#include <map>
#include <sys/resource.h>
#include <unistd.h>

using namespace downball;
using namespace downball::pipeline;
using downball::test::TempFolder;
namespace fs = std::filesystem;

namespace {

void put(const std::string& path, const std::string& content) {
    fs::create_directories(fs::path(path).parent_path());
    std::ofstream(path, std::ios::binary) << content;
}

// Content of every file below a folder, by its path from there; folders end in '/'.
std::map<std::string, std::string> tree(const std::string& folder) {
    std::map<std::string, std::string> files;
    for (const auto& entry : fs::recursive_directory_iterator(folder)) {
        const auto name = entry.path().lexically_relative(folder).string();
        if (entry.is_directory())
            files[name + "/"] = "";
        else
            files[name] = *files::read_text(entry.path().string());
    }
    return files;
}

const std::string clip(3'000'001, 'c'); // some blocks, the last one not whole

struct Place {
    TempFolder folder;
    std::string card = folder / "CARD A";
    std::string copy = folder / "disk/day 1/CARD A";

    Place() {
        put(card + "/DCIM/100ABCDE/A1.MP4", clip);
        put(card + "/DCIM/100ABCDE/A1.XML", "<a/>");
        put(card + "/DCIM/100ABCDE/A2.JPG", std::string("\0\xff", 2));
        put(card + "/.hidden", "");
        fs::create_directories(card + "/MISC/empty");
        fs::last_write_time(card + "/DCIM/100ABCDE/A1.MP4",
                            fs::file_time_type::clock::now() - std::chrono::hours(1000));
    }
    Result<CardCopy> run(const Talk& talk = {}) const { return copy_card(card, folder / "disk/day 1", talk); }
};

} // namespace

TEST_CASE("a copied card has every file and folder of the card, with its content and time") {
    Place place;
    const auto before = tree(place.card);
    std::vector<double> progress;
    Talk talk;
    talk.progress = [&](std::string_view, double done) { progress.push_back(done); };
    const auto done = place.run(talk);
    REQUIRE(done);
    CHECK(done->folder == place.copy);
    CHECK(done->copied == 4);
    CHECK(done->kept == 0);
    CHECK(done->bytes == clip.size() + 6);
    CHECK(tree(place.copy) == before);
    CHECK(tree(place.card) == before);
    for (const auto* name : {"/DCIM/100ABCDE/A1.MP4", "/.hidden"})
        CHECK(fs::last_write_time(place.copy + name) == fs::last_write_time(place.card + name));
    CHECK(std::ranges::is_sorted(progress));
    CHECK(progress.back() == Approx(1));
}

TEST_CASE("a copy goes on where it was left, and keeps what is there") {
    Place place;
    put(place.copy + "/DCIM/100ABCDE/A1.MP4", clip);
    put(place.copy + "/mine.txt", "mine");
    // What a run left behind that was killed.
    put(place.copy + "/DCIM/100ABCDE/.A1.XML.downball.part", "half a file, longer than the whole");
    const auto written = fs::last_write_time(place.copy + "/DCIM/100ABCDE/A1.MP4");
    const auto done = place.run();
    REQUIRE(done);
    CHECK(done->copied == 3);
    CHECK(done->kept == 1);
    CHECK(fs::last_write_time(place.copy + "/DCIM/100ABCDE/A1.MP4") == written);
    auto expected = tree(place.card);
    expected["mine.txt"] = "mine";
    CHECK(tree(place.copy) == expected);
    const auto again = place.run();
    REQUIRE(again);
    CHECK(again->copied == 0);
    CHECK(again->kept == 4);
}

TEST_CASE("a file with other content is named and stays, and the others are copied") {
    Place place;
    auto other = clip;
    other[2'999'999] = 'd'; // of the same size
    put(place.copy + "/DCIM/100ABCDE/A1.MP4", other);
    put(place.copy + "/DCIM/100ABCDE/A1.XML", "longer");
    fs::create_directories(place.copy + "/DCIM/100ABCDE/A2.JPG"); // a folder
    const auto done = place.run();
    REQUIRE_FALSE(done);
    CHECK(done.error().fault == Fault::cannot_write);
    for (const auto* name : {"A1.MP4\n", "A1.XML\n", "A2.JPG\n"})
        CHECK(done.error().what.find(place.copy + "/DCIM/100ABCDE/" + name) != std::string::npos);
    CHECK(*files::read_text(place.copy + "/DCIM/100ABCDE/A1.MP4") == other);
    CHECK(*files::read_text(place.copy + "/DCIM/100ABCDE/A1.XML") == "longer");
    CHECK(fs::exists(place.copy + "/.hidden"));
}

TEST_CASE("what cannot be read is named, and the others are copied") {
    Place place;
    // /proc/self/mem is a regular file whose first byte cannot be read (proc(5)).
    fs::create_symlink("/proc/self/mem", place.card + "/DCIM/bad.mp4");
    const auto done = place.run();
    REQUIRE_FALSE(done);
    CHECK(done.error().fault == Fault::bad_input);
    CHECK(done.error().what.find("cannot be read: " + place.card + "/DCIM/bad.mp4: Input/output error\n") !=
          std::string::npos);
    CHECK(done.error().what.find("4 copied") != std::string::npos);
    fs::remove(place.card + "/DCIM/bad.mp4");
    CHECK(tree(place.copy) == tree(place.card)); // nothing half-written
    CHECK(place.run()->kept == 4);
}

TEST_CASE("a stop leaves whole files alone, and the next run goes on") {
    Place place;
    for (const double when : {0.1, 0.45, 0.6}) { // reading the clip, reading its copy
        std::stop_source source;
        Talk talk;
        talk.stop = source.get_token();
        talk.progress = [&](std::string_view, double done) {
            if (done > when) source.request_stop();
        };
        const auto stopped = place.run(talk);
        REQUIRE_FALSE(stopped);
        CHECK(stopped.error().fault == Fault::interrupted);
        const auto whole = tree(place.card);
        for (const auto& [name, content] : tree(place.copy))
            CHECK((whole.contains(name) && whole.at(name) == content));
    }
    CHECK(place.run());
    CHECK(tree(place.copy) == tree(place.card));
}

// A limit on the size of files stands in for a full disk: write(2) fails with EFBIG as it would with ENOSPC.
TEST_CASE("where the disk is full no half file is left") {
    Place place;
    rlimit before{};
    REQUIRE(::getrlimit(RLIMIT_FSIZE, &before) == 0);
    const auto handler = std::signal(SIGXFSZ, SIG_IGN);
    const rlimit small{2'000'000, before.rlim_max};
    REQUIRE(::setrlimit(RLIMIT_FSIZE, &small) == 0);
    const auto done = place.run();
    ::setrlimit(RLIMIT_FSIZE, &before);
    std::signal(SIGXFSZ, handler);
    REQUIRE_FALSE(done);
    CHECK(done.error().fault == Fault::cannot_write);
    CHECK(done.error().where == place.copy + "/DCIM/100ABCDE/A1.MP4");
    CHECK(done.error().what.find("full") != std::string::npos);
    CHECK_FALSE(fs::exists(place.copy + "/DCIM/100ABCDE/A1.MP4"));
    CHECK(fs::is_empty(place.copy + "/DCIM/100ABCDE"));
    CHECK(place.run());
}

TEST_CASE("a card larger than the space left is refused before anything is written") {
    Place place;
    put(place.card + "/huge.mp4", "");
    fs::resize_file(place.card + "/huge.mp4",
                    std::uintmax_t{1} << 43); // with holes: no disk of a test has 8 TiB free
    const auto done = place.run();
    REQUIRE_FALSE(done);
    CHECK(done.error().fault == Fault::cannot_write);
    CHECK(done.error().what.find("the copy needs 8796.10 GB") != std::string::npos);
    CHECK_FALSE(fs::exists(place.folder / "disk"));
}

TEST_CASE("a copy into itself, or over what holds the card, is refused") {
    Place place;
    for (const auto& into : {place.card, place.card + "/DCIM/new", place.folder.path()}) {
        const auto done = copy_card(place.card, into, {});
        REQUIRE_FALSE(done);
        CHECK(done.error().fault == Fault::bad_input);
    }
    fs::create_directories(place.folder / "CARD A/x/CARD A");
    CHECK_FALSE(
        copy_card(place.folder / "CARD A/x/CARD A", place.folder.path(), {})); // to the folder that holds it
    CHECK_FALSE(fs::exists(place.card + "/DCIM/new"));
    CHECK_FALSE(copy_card(place.card + "/.hidden", place.folder / "disk", {}));
}

TEST_CASE("links to folders are not followed, and told") {
    Place place;
    fs::create_directory_symlink("..", place.card + "/DCIM/loop");
    const auto done = place.run();
    REQUIRE(done);
    REQUIRE(done->notes.size() == 1);
    CHECK(done->notes[0].find(place.card + "/DCIM/loop") != std::string::npos);
    CHECK_FALSE(fs::exists(place.copy + "/DCIM/loop"));
}
