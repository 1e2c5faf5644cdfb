// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"

#include "downball/base/notes.h"

using namespace downball;
using Lines = std::vector<std::string>;

TEST_CASE("a long list is three of it and a count") {
    CHECK(some_of(Lines{}) == "");
    CHECK(some_of(Lines{"a", "b", "c"}) == "a, b, c");
    CHECK(some_of(Lines{"a", "b", "c", "d", "e"}) == "a, b, c and 2 more");
}

TEST_CASE("notes that say the same of several are one line") {
    CHECK(group_notes(Lines{"T1: no sound", "the song ends early", "T2: no sound"}) ==
          Lines{"T1, T2: no sound", "the song ends early"});
    CHECK(group_notes(Lines{"T1: a", "T2: a", "T3: a", "T4: a", "T5: a", "T5: a"}) ==
          Lines{"T1, T2, T3 and 2 more: a"});
    CHECK(group_notes(Lines{"the same", "the same"}) == Lines{"the same"});
}

TEST_CASE("forty notes that differ in ids and numbers only are one line with a count") {
    Lines notes;
    for (int i = 1; i <= 40; ++i)
        notes.push_back("C1_" + std::to_string(i) + ".mp4 starts at 01:00:00;" + std::to_string(i) +
                        ", which this list calls otherwise");
    notes.push_back("another kind");
    CHECK(group_notes(notes) ==
          Lines{"C1_1.mp4 starts at 01:00:00;1, which this list calls otherwise (and 39 more like it)",
                "another kind"});
}

TEST_CASE("notes of different words stay apart") {
    const Lines notes{"line 3: rating is odd", "line 4: score is odd", "T1: no sound", "no sound"};
    CHECK(group_notes(notes) == notes);
}
