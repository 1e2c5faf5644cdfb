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

TEST_CASE("a path is written the same for a folder that is still to be made") {
    TempFolder folder;
    std::filesystem::create_directories(folder / "cards");
    const auto here = std::filesystem::current_path();
    std::filesystem::current_path(folder.path());
    CHECK(as_written("job", "cards/x.mov") == "../cards/x.mov");
    CHECK(as_written("job/", "cards") == "../cards");
    CHECK(as_written("", "cards/x.mov") == "cards/x.mov");
    std::filesystem::current_path(here);
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
