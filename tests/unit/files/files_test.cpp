// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "support/temp_folder.h"

#include "downball/files/files.h"

#include <atomic>
#include <csignal>
#include <fmt/format.h>
#include <fstream>
#include <sys/resource.h>
#include <thread>
#include <unistd.h>

using namespace downball;
using namespace downball::files;
using downball::test::TempFolder;

namespace {

void put(const std::string& path, std::string_view content) {
    std::ofstream(path, std::ios::binary) << content;
}

std::size_t entries(const std::string& folder) {
    std::size_t count = 0;
    for (const auto& entry : std::filesystem::directory_iterator(folder))
        count += entry.exists() ? 1 : 0;
    return count;
}

} // namespace

TEST_CASE("outputs appear together, and nothing is left of them without commit") {
    TempFolder folder;
    put(folder / "a", "old");
    {
        OutputSet outputs;
        REQUIRE(outputs.add(folder / "a", "new"));
        REQUIRE(outputs.add(folder / "b", "more"));
        CHECK(*read_text(folder / "a") == "old");
    }
    CHECK(entries(folder.path()) == 1);
    OutputSet outputs;
    REQUIRE(outputs.add(folder / "a", "new"));
    REQUIRE(outputs.add(folder / "b", "more"));
    REQUIRE(outputs.commit());
    CHECK(*read_text(folder / "a") == "new");
    CHECK(*read_text(folder / "b") == "more");
    CHECK(entries(folder.path()) == 2);
}

TEST_CASE("a failed output leaves all the others as they were") {
    TempFolder folder;
    put(folder / "a", "old");
    {
        OutputSet outputs;
        REQUIRE(outputs.add(folder / "a", "new"));
        const auto added = outputs.add(folder / "no/such/folder/b", "more");
        REQUIRE_FALSE(added);
        CHECK(added.error().fault == Fault::cannot_write);
        CHECK(added.error().where == folder / "no/such/folder/b");
    }
    CHECK(*read_text(folder / "a") == "old");
    CHECK(entries(folder.path()) == 1);
}

TEST_CASE("a folder in the place of an output is refused before anything is renamed") {
    TempFolder folder;
    REQUIRE(make_folder(folder / "a/b"));
    OutputSet outputs;
    CHECK_FALSE(outputs.add(folder / "a", "text"));
}

TEST_CASE("a file in the place of the output folder is named as such") {
    TempFolder folder;
    put(folder / "out", "a file");
    const auto made = make_folder(folder / "out");
    REQUIRE_FALSE(made);
    CHECK(made.error().fault == Fault::cannot_write);
    CHECK(made.error().where == folder / "out");
    CHECK(made.error().what.find("a file stands where this folder should go") != std::string::npos);
}

TEST_CASE("a file that is written anew keeps its rights, and a link stays a link") {
    namespace fs = std::filesystem;
    TempFolder folder;
    put(folder / "log.csv", "old");
    fs::permissions(folder / "log.csv", fs::perms::owner_read | fs::perms::owner_write);
    REQUIRE(make_folder(folder / "job"));
    fs::create_symlink("../log.csv", folder / "job/log.csv");
    OutputSet outputs;
    REQUIRE(outputs.add(folder / "job/log.csv", "new"));
    REQUIRE(outputs.commit());
    CHECK(fs::is_symlink(folder / "job/log.csv"));
    CHECK(*read_text(folder / "log.csv") == "new");
    CHECK(fs::status(folder / "log.csv").permissions() == (fs::perms::owner_read | fs::perms::owner_write));
    CHECK(entries(folder.path()) == 2);
}

TEST_CASE("a rename that fails half-way is taken back") {
    TempFolder folder;
    put(folder / "a", "old");
    {
        OutputSet outputs;
        REQUIRE(outputs.add(folder / "a", "new"));
        REQUIRE(outputs.add(folder / "b", "new"));
        REQUIRE(outputs.add(folder / "c", "new"));
        REQUIRE(make_folder(folder / "c/in the way"));
        const auto done = outputs.commit();
        REQUIRE_FALSE(done);
        CHECK(done.error().where == folder / "c");
    }
    CHECK(*read_text(folder / "a") == "old");
    CHECK_FALSE(std::filesystem::exists(folder / "b"));
    CHECK(entries(folder.path()) == 2);
}

TEST_CASE("what cannot be read says why") {
    TempFolder folder;
    CHECK(read_text(folder / "gone").error().what.find("no such file") != std::string::npos);
    CHECK(read_text(folder.path()).error().what.find("folder") != std::string::npos);
    put(folder / "a", std::string("x\0y", 3));
    CHECK(*read_text(folder / "a") == std::string("x\0y", 3));
}

TEST_CASE("a file's hash is that of its content, however long it is") {
    TempFolder folder;
    for (const std::size_t bytes : {0u, 1u, 65536u, 65537u, 300000u}) {
        const std::string content(bytes, 'x');
        put(folder / "a", content);
        CHECK(*file_hash(folder / "a") == content_hash(content));
    }
    CHECK_FALSE(file_hash(folder / "gone"));
}

TEST_CASE("a file that its writer puts in a reserved place appears with the others, or goes with them") {
    test::TempFolder folder;
    for (const bool commit : {false, true}) {
        OutputSet outputs;
        REQUIRE(outputs.add(folder / "list.txt", "list"));
        const auto place = outputs.reserve(folder / "movie.bin");
        REQUIRE(place);
        CHECK(outputs.reserve(folder / "movie.bin").value() == *place);
        std::ofstream(*place) << "movie";
        CHECK_FALSE(std::filesystem::exists(folder / "movie.bin"));
        if (commit) REQUIRE(outputs.commit());
        CHECK(std::filesystem::exists(folder / "movie.bin") == commit);
    }
    CHECK(std::distance(std::filesystem::directory_iterator(folder.path()), {}) == 2);
    CHECK(read_text(folder / "movie.bin").value() == "movie");
}

TEST_CASE("a replaced file is the old one or the new one, also for those who read meanwhile") {
    TempFolder folder;
    const auto path = folder / "a.json";
    const std::string one(200'000, 'a'), other(100'000, 'b');
    REQUIRE(replace_file(path, one));
    CHECK(*read_text(path) == one);
    std::atomic<bool> done = false;
    std::atomic<int> broken = 0, seen = 0;
    {
        std::jthread reader([&] {
            while (!done || seen == 0) {
                const auto read = read_text(path);
                broken += !read || (*read != one && *read != other);
                ++seen;
            }
        });
        // Two writers in one process: their files beside it have names of their own.
        std::jthread writer([&] {
            for (int k = 0; k < 100; ++k)
                broken += !replace_file(path, one);
        });
        for (int k = 0; k < 100; ++k)
            broken += !replace_file(path, other);
        writer.join();
        done = true;
    }
    CHECK(broken == 0);
    CHECK(entries(folder.path()) == 1);
}

TEST_CASE("a file that cannot be replaced stays as it is, and nothing is left beside it") {
    TempFolder folder;
    std::filesystem::create_directories(folder / "a/inside");
    const auto refused = replace_file(folder / "a", "new");
    REQUIRE_FALSE(refused);
    CHECK(refused.error().fault == Fault::cannot_write);
    CHECK(refused.error().where == folder / "a");
    CHECK(entries(folder.path()) == 1);
    const auto nowhere = replace_file(folder / "no/b", "new");
    REQUIRE_FALSE(nowhere);
    CHECK(nowhere.error().fault == Fault::cannot_write);
    CHECK(nowhere.error().what.find("make it first") != std::string::npos);
}

TEST_CASE("what a killed process left beside a file is no hindrance, and is not touched") {
    TempFolder folder;
    const auto left = folder / fmt::format(".a.{}.0.part", ::getpid());
    put(left, "half");
    REQUIRE(replace_file(folder / "a", "new"));
    CHECK(*read_text(folder / "a") == "new");
    CHECK(*read_text(left) == "half");
    CHECK(entries(folder.path()) == 2);
}

TEST_CASE("a full disk leaves the old file") {
    TempFolder folder;
    REQUIRE(replace_file(folder / "a", "old"));
    // A limit on the size of files stands in for a disk without room.
    rlimit before{};
    REQUIRE(::getrlimit(RLIMIT_FSIZE, &before) == 0);
    const auto old_way = std::signal(SIGXFSZ, SIG_IGN);
    const rlimit small{1000, before.rlim_max};
    REQUIRE(::setrlimit(RLIMIT_FSIZE, &small) == 0);
    const auto refused = replace_file(folder / "a", std::string(5000, 'x'));
    ::setrlimit(RLIMIT_FSIZE, &before);
    std::signal(SIGXFSZ, old_way);
    REQUIRE_FALSE(refused);
    CHECK(refused.error().what.find("the disk is full") != std::string::npos);
    CHECK(*read_text(folder / "a") == "old");
    CHECK(entries(folder.path()) == 1);
}
