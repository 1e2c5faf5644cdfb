// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "analysis/prune.h"
#include "support/catch.h"
#include "support/temp_folder.h"

#include <chrono>
#include <filesystem>
#include <fmt/format.h>
#include <fstream>

using namespace downball;
using namespace downball::analysis;
using downball::test::TempFolder;

namespace {

namespace fs = std::filesystem;
using namespace std::chrono_literals;

void put(const std::string& path, std::size_t bytes, std::chrono::hours ago) {
    std::ofstream(path) << std::string(bytes, 'x');
    fs::last_write_time(path, fs::file_time_type::clock::now() - ago);
}

std::string clip(int number) {
    return fmt::format("{:016x}.clip.json", number);
}

} // namespace

TEST_CASE("what was not used for the longest time goes first, and only as much as is too much") {
    TempFolder folder;
    for (int k = 0; k < 5; ++k)
        put(folder / clip(k), 1000, std::chrono::hours(100 - k));
    CHECK(prune(folder.path(), 5000, {}).empty());
    CHECK(fs::exists(folder / clip(0)));
    const auto told = prune(folder.path(), 3000, {});
    CHECK(told.find("2 files not used for long were dropped") != std::string::npos);
    for (int k = 0; k < 5; ++k)
        CHECK(fs::exists(folder / clip(k)) == (k >= 2));
}

TEST_CASE("what this run used stays, though it is old and too much") {
    TempFolder folder;
    for (int k = 0; k < 3; ++k)
        put(folder / clip(k), 1000, std::chrono::hours(100 - k));
    CHECK(prune(folder.path(), 1500, {clip(0)}).find("2 files") != std::string::npos);
    CHECK(fs::exists(folder / clip(0)));
    CHECK_FALSE(fs::exists(folder / clip(2)));
    put(folder / clip(4), 1000, 1h);
    const auto told = prune(folder.path(), 500, {clip(0), clip(4)});
    CHECK(told.find("what this run needs") != std::string::npos);
    CHECK(fs::exists(folder / clip(0)));
    CHECK(fs::exists(folder / clip(4)));
}

TEST_CASE("strangers' files stay and do not count") {
    TempFolder folder;
    const std::vector<std::string> strangers{"notes.json",
                                             "seen-birds.tsv",
                                             "seen-0123456789abcdef.txt",
                                             "0123456789abcdef.clip.json.bak",
                                             "0123456789ABCDEF.clip.json",
                                             "0123456789abcde.clip.json",
                                             "xseen-0123456789abcdef.tsv",
                                             ".notes.part",
                                             ".0123456789abcdef.part"};
    for (const auto& name : strangers)
        put(folder / name, 5000, 1000h);
    put(folder / clip(1), 1000, 1h);
    CHECK(prune(folder.path(), 1000, {}).empty());
    CHECK_FALSE(prune(folder.path(), 10, {}).empty());
    for (const auto& name : strangers)
        CHECK(fs::exists(folder / name));
    CHECK_FALSE(fs::exists(folder / clip(1)));
}

TEST_CASE("folders are not files of ours, whatever their name") {
    TempFolder folder;
    fs::create_directory(folder / clip(1));
    put(folder / clip(1) + "/inside", 1000, 100h);
    CHECK(prune(folder.path(), 1, {}).empty());
    CHECK(fs::exists(folder / clip(1) + "/inside"));
}

TEST_CASE("what a killed process left half-written goes after a day") {
    TempFolder folder;
    const auto document = "." + clip(1) + ".4711.0.part";
    const std::string list = ".seen-0123456789abcdef.tsv.4711.12.part";
    for (const auto& name : {document, list}) {
        put(folder / name, 10, 23h);
        prune(folder.path(), 1000, {});
        CHECK(fs::exists(folder / name));
        put(folder / name, 10, 25h);
        prune(folder.path(), 1000, {});
        CHECK_FALSE(fs::exists(folder / name));
    }
}

TEST_CASE("names of lists and of files of ours") {
    CHECK(is_list("seen-0123456789abcdef.tsv"));
    CHECK_FALSE(is_list("seen-birds.tsv"));
    CHECK_FALSE(is_list("seen-0123456789abcdef.old.tsv"));
    CHECK_FALSE(is_list("0123456789abcdef.clip.json"));
    CHECK(is_ours("seen-0123456789abcdef.tsv"));
    CHECK(is_ours("0123456789abcdef.clip.json"));
    CHECK(is_ours("0123456789abcdef-0123456789abcdef.song.json"));
    for (const auto* name : {"", "seen-", "seen-.tsv", ".json", "0123456789abcdef", "seen-0123456789abcde"})
        CHECK_FALSE(is_ours(name));
}

TEST_CASE("a file that is used counts as new, once a day") {
    TempFolder folder;
    put(folder / clip(1), 10, 30h);
    mark_as_used(folder / clip(1));
    CHECK(fs::file_time_type::clock::now() - fs::last_write_time(folder / clip(1)) < 1h);
    put(folder / clip(1), 10, 20h);
    const auto before = fs::last_write_time(folder / clip(1));
    mark_as_used(folder / clip(1));
    CHECK(fs::last_write_time(folder / clip(1)) == before);
    mark_as_used(folder / "none");
}
