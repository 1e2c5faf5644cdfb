// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/places.h"
#include "support/catch.h"
#include "support/temp_folder.h"

#include <fstream>

using namespace downball;
using namespace downball::pipeline;
using downball::test::TempFolder;

TEST_CASE("a path as written leads back to the file") {
    TempFolder folder;
    std::filesystem::create_directories(folder / "job");
    std::filesystem::create_directories(folder / "cards/A");
    const auto written = as_written(folder / "job", folder / "cards/A/x.mov");
    CHECK(written == "../cards/A/x.mov");
    CHECK(from_folder(folder / "job", written) == folder / "cards/A/x.mov");
    CHECK(as_written(folder.path(), folder / "cards/A/x.mov") == "cards/A/x.mov");
    CHECK(as_written(folder.path(), "/elsewhere/far/x.mov") == "/elsewhere/far/x.mov");
    CHECK(from_folder(folder.path(), "/elsewhere/x.mov") == "/elsewhere/x.mov");
    CHECK(from_folder("", "a/./b.mov") == "a/b.mov");
}

TEST_CASE("all spellings of a file have one key, wherever the job's folder is seen from") {
    TempFolder folder;
    std::filesystem::create_directories(folder / "job/cards");
    std::filesystem::create_directory_symlink(folder / "job/cards", folder / "job/link");
    std::ofstream(folder / "job/cards/x.mov") << "x";
    const auto job = folder / "job";
    const auto key = file_key(job, "cards/x.mov");
    for (const auto& written :
         {std::string("./cards/x.mov"), std::string("cards/../cards//x.mov"),
          std::string("../job/cards/x.mov"), std::string("link/x.mov"), folder / "job/cards/x.mov"})
        CHECK(file_key(job, written) == key);
    CHECK(file_key(job, "cards/y.mov") != key);
    CHECK(file_key(job, "gone/./y.mov") == file_key(job, folder / "job/gone/y.mov"));

    const auto here = std::filesystem::current_path();
    std::filesystem::current_path(job);
    for (const auto* seen : {"", ".", "../job"})
        CHECK(file_key(seen, "cards/x.mov") == key);
    CHECK(file_key("", "gone/y.mov") == file_key(job, "gone/y.mov"));
    std::filesystem::current_path(here);
}

TEST_CASE("clips are found in all folders below, in order; photos, sidecars and hidden files are not") {
    TempFolder folder;
    std::filesystem::create_directories(folder / "b/DCIM");
    std::filesystem::create_directories(folder / ".trash");
    for (const auto* name :
         {"z.mp4", "b/DCIM/a.MOV", "b/x.jpg", "b/x.xml", ".trash/t.mp4", "b/.y.mp4", "song.wav"})
        std::ofstream(folder / name) << "x";
    const auto clips = clips_below({folder.path()});
    REQUIRE(clips);
    CHECK(*clips == std::vector<std::string>{folder / "b/DCIM/a.MOV", folder / "z.mp4"});
    CHECK(clips_below({folder.path(), folder.path()})->size() == 2); // named twice, found once
    const auto gone = clips_below({folder / "gone"});
    REQUIRE_FALSE(gone);
    CHECK(gone.error().where == folder / "gone");
}

TEST_CASE("footage may be single files, beside folders and inside them") {
    TempFolder folder;
    std::filesystem::create_directories(folder / "cards");
    for (const auto* name : {"cards/a.mp4", "cards/b.mp4", "loose.bin"})
        std::ofstream(folder / name) << "x";
    const auto one = clips_below({folder / "cards/b.mp4"});
    REQUIRE(one);
    CHECK(*one == std::vector<std::string>{folder / "cards/b.mp4"});
    const auto all = clips_below({folder / "loose.bin", folder / "cards/b.mp4", folder / "cards"});
    REQUIRE(all);
    CHECK(*all ==
          std::vector<std::string>{folder / "cards/a.mp4", folder / "cards/b.mp4", folder / "loose.bin"});
}

TEST_CASE("a file lies below a folder by whole names") {
    CHECK(lies_below("/cards", "/cards/A/x.mov"));
    CHECK(lies_below("/cards/", "/cards/A/x.mov"));
    CHECK(lies_below("/", "/cards/A/x.mov"));
    CHECK_FALSE(lies_below("/card", "/cards/A/x.mov"));
    CHECK_FALSE(lies_below("/cards/B", "/cards/A/x.mov"));
}

TEST_CASE("a job is named by its file or its folder") {
    TempFolder folder;
    CHECK(job_file(folder.path()) == folder / "job.json");
    CHECK(job_file(folder / "other.json") == folder / "other.json");
}
