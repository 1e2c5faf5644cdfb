// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"

#include "downball/base/result.h"

using namespace downball;

TEST_CASE("a result holds a value or an error") {
    const Result<int> good = 7;
    REQUIRE(good);
    CHECK(*good == 7);
    const Result<int> bad = Error{Fault::bad_input, "no song given", "job.json /song"};
    REQUIRE_FALSE(bad);
    CHECK(to_string(bad.error()) == "job.json /song: no song given");
    CHECK(to_string(Error{Fault::usage, "no job given", ""}) == "no job given");
    CHECK(to_string(Error{Fault::bad_input, "line 1\nline 2", "log.csv"}) == "log.csv: line 1\n  line 2");
    CHECK(Result<void>{});
    CHECK_FALSE(Result<void>{Error{}});
}
