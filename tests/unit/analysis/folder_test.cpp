// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "analysis/sealed.h"
#include "support/catch.h"
#include "support/temp_folder.h"

#include "downball/analysis/folder.h"
#include "downball/files/files.h"
#include "downball/media/content_id.h"

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <fmt/format.h>
#include <fstream>
#include <thread>

using namespace downball;
using namespace downball::analysis;
using downball::test::TempFolder;
using text::JsonObject;

namespace {

namespace fs = std::filesystem;

Document document(int number, std::vector<int> versions = {1, 2, 3}) {
    return {fmt::format("{:016x}.clip.json", number), "clip", std::move(versions)};
}

JsonObject found(int number) {
    return {{"number", number}, {"text", std::string(3000, 'x')}};
}

bool holds(Folder& folder, int number) {
    const auto kept = folder.find(document(number));
    return kept && text::to_text(*kept) == text::to_text(found(number));
}

void put(const std::string& path, std::string_view content) {
    std::ofstream(path, std::ios::binary) << content;
}

std::vector<std::string> names_in(const std::string& folder) {
    std::vector<std::string> names;
    for (const auto& entry : fs::directory_iterator(folder))
        names.push_back(entry.path().filename().string());
    std::ranges::sort(names);
    return names;
}

// Long enough ago that the time counts as settled. The time of the change itself cannot be set back.
void settle() {
    std::this_thread::sleep_for(std::chrono::milliseconds(3200));
}

bool has(const std::vector<std::string>& notes, std::string_view words) {
    return std::ranges::any_of(notes,
                               [&](const auto& note) { return note.find(words) != std::string::npos; });
}

} // namespace

TEST_CASE("what is kept is found again, by this folder and the next") {
    TempFolder place;
    const auto path = place / "deep/analysis";
    Folder folder(path);
    CHECK_FALSE(folder.find(document(1)));
    CHECK_FALSE(fs::exists(path)); // made when there is something to keep
    folder.keep(document(1), found(1));
    CHECK(holds(folder, 1));
    CHECK(folder.path_of(document(1)) == path + "/" + document(1).name);
    CHECK(folder.path_of(document(2)).empty());
    CHECK(folder.close().empty());
    Folder next(path);
    CHECK(next.path_of(document(1)).empty());
    CHECK(holds(next, 1));
    CHECK_FALSE(next.path_of(document(1)).empty());
    CHECK(next.close().empty());
    CHECK(names_in(path) == std::vector{document(1).name});
}

TEST_CASE("a folder without a path keeps nothing, and still says what a file is") {
    TempFolder place;
    put(place / "a", "content");
    Folder folder;
    folder.keep(document(1), found(1));
    CHECK_FALSE(folder.find(document(1)));
    CHECK(folder.path_of(document(1)).empty());
    CHECK_FALSE(folder.write_problem());
    const auto file = folder.identify(place / "a");
    REQUIRE(file);
    CHECK(file->id == *media::content_id(place / "a"));
    CHECK(folder.close().empty());
    CHECK(names_in(place.path()) == std::vector<std::string>{"a"});
}

TEST_CASE("threads with one folder and with two on one place keep the same documents whole") {
    TempFolder place;
    Folder one(place.path()), other(place.path());
    {
        std::vector<std::jthread> hands;
        for (int hand = 0; hand < 8; ++hand)
            hands.emplace_back([&, hand] {
                auto& folder = hand % 2 == 0 ? one : other;
                for (int round = 0; round < 20; ++round)
                    for (int k = 0; k < 5; ++k) {
                        folder.keep(document(k), found(k));
                        if (const auto kept = folder.find(document(k)); !kept || !kept->find("number"))
                            std::abort(); // Catch2 is for one thread
                    }
            });
    }
    CHECK(one.close().empty());
    CHECK(other.close().empty());
    Folder next(place.path());
    for (int k = 0; k < 5; ++k)
        CHECK(holds(next, k));
    CHECK(names_in(place.path()).size() == 5);
}

TEST_CASE("damaged and older documents are made anew, the damaged ones with a note") {
    TempFolder place;
    const auto damaged = place / document(1).name, older = place / document(2).name;
    put(damaged, sealed(document(1), found(1)).substr(0, 100));
    put(older, sealed(document(2, {1, 1, 3}), found(2)));
    Folder folder(place.path());
    for (int k = 1; k <= 2; ++k) {
        CHECK_FALSE(folder.find(document(k)));
        folder.keep(document(k), found(k));
    }
    const auto notes = folder.close();
    REQUIRE(notes.size() == 1);
    CHECK(has(notes, "damaged"));
    CHECK(has(notes, document(1).name));
    CHECK(has(notes, place.path()));
    Folder next(place.path());
    CHECK(holds(next, 1));
    CHECK(holds(next, 2));
    CHECK(next.close().empty());
}

TEST_CASE("documents of newer versions stay untouched, with a note each run") {
    TempFolder place;
    const auto path = place / document(1).name;
    const auto newer = sealed(document(1, {1, 3, 1}), {{"other", "form"}});
    put(path, newer);
    for (int run = 0; run < 2; ++run) {
        Folder folder(place.path());
        for (int time = 0; time < 2; ++time)
            CHECK_FALSE(folder.find(document(1)));
        folder.keep(document(1), found(1));
        CHECK(folder.path_of(document(1)).empty());
        CHECK_FALSE(folder.write_problem());
        const auto notes = folder.close();
        REQUIRE(notes.size() == 1);
        CHECK(has(notes, "a file of " + place.path() + " was made by a newer version"));
        CHECK(*files::read_text(path) == newer);
    }
}

TEST_CASE("a document given another one's name is not believed") {
    TempFolder place;
    put(place / document(2).name, sealed(document(1), found(1)));
    Folder folder(place.path());
    CHECK_FALSE(folder.find(document(2)));
    CHECK(has(folder.close(), document(2).name));
}

TEST_CASE("a file in the folder's place is told once, and nothing more is tried") {
    TempFolder place;
    put(place / "analysis", "somebody's own");
    Folder folder(place / "analysis");
    for (int k = 0; k < 3; ++k) {
        CHECK_FALSE(folder.find(document(k)));
        folder.keep(document(k), found(k));
    }
    REQUIRE(folder.write_problem());
    CHECK(folder.write_problem()->fault == Fault::cannot_write);
    const auto notes = folder.close();
    REQUIRE(notes.size() == 1);
    CHECK(has(notes, "nothing is kept in " + (place / "analysis")));
    CHECK(folder.path_of(document(1)).empty());
    CHECK(*files::read_text(place / "analysis") == "somebody's own");
}

TEST_CASE("a folder in the place of one document is named, and the others are kept") {
    TempFolder place;
    fs::create_directories(place / document(1).name + "/inside");
    Folder folder(place.path());
    for (int k = 1; k <= 3; ++k) {
        CHECK_FALSE(folder.find(document(k)));
        folder.keep(document(k), found(k));
    }
    REQUIRE(folder.write_problem()); // who was asked for this very file must know
    CHECK(folder.path_of(document(1)).empty());
    const auto notes = folder.close();
    REQUIRE(notes.size() == 1);
    CHECK(has(notes, "cannot be read"));
    CHECK(has(notes, document(1).name));
    Folder next(place.path());
    CHECK(holds(next, 2));
    CHECK(holds(next, 3));
    CHECK(fs::is_directory(place / document(1).name + "/inside"));
}

TEST_CASE("a dangling link in the place of a document is replaced") {
    TempFolder place;
    fs::create_symlink(place / "nowhere", place / document(1).name);
    Folder folder(place.path());
    CHECK_FALSE(folder.find(document(1)));
    folder.keep(document(1), found(1));
    CHECK(holds(folder, 1));
    CHECK(has(folder.close(), "cannot be read"));
    CHECK_FALSE(fs::exists(place / "nowhere"));
}

TEST_CASE("beyond its size a folder drops what was not used, and no stranger's file") {
    TempFolder place;
    put(place / "notes.json", std::string(50'000, 'x'));
    put(place / "seen-birds.tsv", std::string(50'000, 'x'));
    {
        Folder folder(place.path());
        for (int k = 0; k < 6; ++k)
            folder.keep(document(k), found(k));
        CHECK(folder.close().empty());
    }
    for (int k = 0; k < 6; ++k)
        fs::last_write_time(place / document(k).name,
                            fs::file_time_type::clock::now() - std::chrono::hours(100 - k));
    const auto size = fs::file_size(place / document(0).name);
    Folder folder(place.path(), 4 * size + size / 2);
    CHECK(holds(folder, 0)); // the oldest, but used now
    folder.keep(document(9), found(9));
    const auto notes = folder.close();
    REQUIRE(notes.size() == 1);
    CHECK(has(notes, "3 files not used for long were dropped"));
    for (const int k : {0, 4, 5, 9})
        CHECK(fs::exists(place / document(k).name));
    for (const int k : {1, 2, 3})
        CHECK_FALSE(fs::exists(place / document(k).name));
    CHECK(fs::file_size(place / "notes.json") == 50'000);
    CHECK(fs::file_size(place / "seen-birds.tsv") == 50'000);
}

TEST_CASE("a settled file is known again without being read, also where folder and file moved together") {
    TempFolder place;
    fs::create_directory(place / "day");
    put(place / "day/a.mp4", "content");
    settle();
    const auto id = *media::content_id(place / "day/a.mp4");
    {
        Folder folder(place / "day/analysis");
        CHECK(folder.identify(place / "day/a.mp4")->id == id);
        CHECK(folder.close().empty());
    }
    fs::rename(place / "day", place / "night");
    // A list that tells another id shows that the file itself is not read.
    const auto names = names_in(place / "night/analysis");
    REQUIRE(names.size() == 1);
    const auto list = place / "night/analysis/" + names[0];
    auto lines = files::read_text(list)->substr(17);
    REQUIRE(lines.starts_with(id + "\t7\t"));
    lines.replace(0, 16, "0000000000000000");
    put(list, files::content_hash(lines) + "\n" + lines);
    {
        Folder folder(place / "night/analysis");
        CHECK(folder.identify(place / "night/a.mp4")->id == "0000000000000000");
        CHECK(folder.close().empty());
        CHECK(names_in(place / "night/analysis") == names); // nothing new, nothing written
    }
    put(place / "night/a.mp4", "another");
    Folder folder(place / "night/analysis");
    const auto file = folder.identify(place / "night/a.mp4");
    REQUIRE(file);
    CHECK(file->id == *media::content_id(place / "night/a.mp4"));
    CHECK(file->id != id);
    CHECK(Folder::stands(*file));
    put(place / "night/a.mp4", "a third one");
    CHECK_FALSE(Folder::stands(*file));
    fs::remove(place / "night/a.mp4");
    CHECK_FALSE(Folder::stands(*file));
    CHECK_FALSE(folder.identify(place / "night/a.mp4"));
}

TEST_CASE("a file changed just now is no entry of a list") {
    TempFolder place;
    put(place / "a.mp4", "content");
    Folder folder(place / "analysis");
    REQUIRE(folder.identify(place / "a.mp4"));
    CHECK(folder.close().empty());
    CHECK_FALSE(fs::exists(place / "analysis"));
}

TEST_CASE("lists of several runs become one, a damaged one is told, and a stranger's stays") {
    TempFolder place;
    fs::create_directory(place / "analysis");
    for (const auto* name : {"a.mp4", "b.mp4", "c.mp4"})
        put(place / name, name);
    settle();
    const auto see = [&](const std::vector<std::string>& clips) {
        Folder folder(place / "analysis");
        for (const auto& clip : clips)
            REQUIRE(folder.identify(place / clip));
        return folder.close();
    };
    put(place / "analysis/seen-birds.tsv", "sparrow\n");
    {
        Folder one(place / "analysis"), other(place / "analysis"); // neither knows of the other
        REQUIRE(one.identify(place / "a.mp4"));
        REQUIRE(other.identify(place / "b.mp4"));
        CHECK(one.close().empty());
        CHECK(other.close().empty());
    }
    CHECK(names_in(place / "analysis").size() == 3);
    CHECK(see({"a.mp4", "b.mp4"}).empty());
    CHECK(names_in(place / "analysis").size() == 3); // both are known, nothing to write
    CHECK(see({"c.mp4"}).empty());
    CHECK(names_in(place / "analysis").size() == 2);
    put(place / "analysis/seen-0123456789abcdef.tsv", "damaged\n");
    const auto notes = see({"a.mp4", "b.mp4", "c.mp4"});
    REQUIRE(notes.size() == 1);
    CHECK(has(notes, "seen-0123456789abcdef.tsv"));
    CHECK(names_in(place / "analysis").size() == 2);
    CHECK(see({"a.mp4", "b.mp4", "c.mp4"}).empty());
    CHECK(*files::read_text(place / "analysis/seen-birds.tsv") == "sparrow\n");
}
