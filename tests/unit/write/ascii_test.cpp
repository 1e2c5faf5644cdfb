// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "write/ascii.h"

using downball::write::to_ascii;

TEST_CASE("ASCII stays as it is") {
    CHECK(to_ascii("C1_0001 (2) #3 50%.mp4") == "C1_0001 (2) #3 50%.mp4");
}

TEST_CASE("names keep their letters and lose their accents") {
    CHECK(to_ascii("Düne Spaß Ærø.mp4") == "Dune Spass AEro.mp4");
    CHECK(to_ascii("Šárka Łódź Çağrı Nuño") == "Sarka Lodz Cagri Nuno");
    CHECK(to_ascii("ŽŻżſ ŁłŃňŹ ŰűŐő") == "ZZz_ LlNnZ UuOo");
    CHECK(to_ascii("e\xCC\x81t\xC3\xA9") == "ete"); // combining and composed
    CHECK(to_ascii("\xE2\x80\x9CNetz\xE2\x80\x9D \xE2\x80\x93 1\xE2\x80\xA6") == "\"Netz\" - 1...");
}

TEST_CASE("what has no spelling becomes one underscore a character, control characters a blank") {
    CHECK(to_ascii("浜辺.mov") == "__.mov");
    CHECK(to_ascii("\xF0\x9F\x8F\x90.mp4") == "_.mp4");
    CHECK(to_ascii("a\tb\nc\x7F") == "a b c ");
    CHECK(to_ascii("\xFF\x80x\xC3") == "_x_"); // no UTF-8: broken pieces
}
