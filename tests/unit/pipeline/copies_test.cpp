// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/copies.h"
#include "unit/media/clips.h"

#include <filesystem>

using namespace downball;
using namespace downball::pipeline;
using downball::test::TempFolder;
namespace fs = std::filesystem;

TEST_CASE("of several files of one content one is entered, that of the log or else the first") {
    TempFolder folder;
    fs::create_directories(folder / "a");
    const auto a = folder / "a/A.wav", other = folder / "a/B.wav"; // of one size
    test::write_clicks(a, 8000, 1, {0.5});
    test::write_clicks(other, 8000, 1, {0.6});
    REQUIRE(fs::file_size(a) == fs::file_size(other));
    for (const auto* name : {"b.wav", "c.wav"})
        fs::copy_file(a, folder / name);
    const auto b = folder / "b.wav", c = folder / "c.wav";
    analysis::Folder kept;
    using Copies = std::map<std::string, std::string>;
    CHECK(*find_copies({}, {a, other, b, c}, kept) == Copies{{b, a}, {c, a}});
    CHECK(*find_copies({c}, {a, other, b}, kept) == Copies{{a, c}, {b, c}});
    CHECK(find_copies({a, b}, {other}, kept)->empty()); // rows may name both
    for (const auto* name : {"d.wav", "e.wav"})         // no media: no content to speak of
        std::ofstream(folder / name) << "x";
    CHECK(find_copies({}, {folder / "d.wav", folder / "e.wav"}, kept)->empty());
    CHECK(tell_copies({{b, a}, {c, a}}, folder.path()) ==
          "2 files are copies of others and were left out: b.wav is a/A.wav, c.wav is a/A.wav");
    CHECK(tell_copies({{b, a}}, folder.path()) ==
          "1 file is a copy of another and was left out: b.wav is a/A.wav");
    CHECK(tell_copies({}, folder.path()).empty());
}
