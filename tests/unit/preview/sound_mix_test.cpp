// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "preview/sound_mix.h"
#include "support/catch.h"

using namespace downball;

TEST_CASE("mixing and measuring end when a stop is asked for, whatever is left to read") {
    Timeline timeline; // nothing to read
    timeline.rate = Rate(25);
    timeline.length = Frame{25};
    std::stop_source stop;
    const LongWork work{{}, stop.get_token()};
    const auto mix = preview::mix_sound(timeline, 6, work);
    REQUIRE(mix);
    CHECK(preview::level_as_coded(mix->sound, work));
    stop.request_stop();
    const auto none = preview::mix_sound(timeline, 6, work);
    REQUIRE_FALSE(none);
    CHECK(none.error().fault == Fault::interrupted);
    const auto level = preview::level_as_coded(mix->sound, work);
    REQUIRE_FALSE(level);
    CHECK(level.error().fault == Fault::interrupted);
}
