// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "media/frame_rate.h"
#include "support/catch.h"

#include <cmath>

using namespace downball;
using namespace downball::media;

namespace {

// Instants k / rate in ticks, each rounded on its own, as a container of that time base stores them.
std::vector<std::int64_t> instants(Rate rate, int count, Fraction tick_s, std::int64_t first = 0) {
    std::vector<std::int64_t> ticks;
    for (int k = 0; k < count; ++k)
        ticks.push_back(first + std::llround(k / rate.per_second() / tick_s.to_double()));
    return ticks;
}

const Fraction millisecond(1, 1000), ninety_khz(1, 90000);

} // namespace

// Rates of ITU-R BT.709-6 and their multiples for high speed.
TEST_CASE("the rate of a regular clip comes back, whatever its time base") {
    const Rate rates[] = {Rate(24000, 1001), Rate(24),  Rate(25),           Rate(30000, 1001),
                          Rate(30),          Rate(50),  Rate(60),           Rate(60000, 1001),
                          Rate(100),         Rate(120), Rate(120000, 1001), Rate(240)};
    for (const auto rate : rates)
        for (const auto tick_s : {millisecond, ninety_khz, Fraction(1, 12800)}) {
            CAPTURE(to_string(rate), tick_s.den());
            // Ten seconds without a word from the container: enough to tell 119.88 from 120.
            const auto ticks = instants(rate, static_cast<int>(rate.per_second() * 10), tick_s, 1337);
            const auto found = constant_rate(ticks, tick_s, {});
            REQUIRE(found);
            CHECK(*found == rate);
        }
}

TEST_CASE("how far a container's rounding moves pictures from their places is known") {
    const Rate rate(30000, 1001);
    const auto rounded = instants(rate, 300, millisecond, 7);
    CHECK(off_rate_ticks(rounded, millisecond, rate) ==
          Approx(0.5).margin(0.02)); // 1001/30 ms: all thirtieths occur
    CHECK(off_rate_ticks(instants(rate, 300, Fraction(1, 30000)), Fraction(1, 30000), rate) ==
          Approx(0).margin(1e-9));
}

TEST_CASE("a short clip in milliseconds has the rate its container states") {
    const auto ticks = instants(Rate(30000, 1001), 20, millisecond);
    const Rate stated[] = {Rate(30000, 1001), Rate(30)};
    CHECK(constant_rate(ticks, millisecond, stated) == Rate(30000, 1001));
}

TEST_CASE("a stated rate that the instants contradict is not believed") {
    const auto ticks = instants(Rate(25), 100, ninety_khz);
    const Rate doubled[] = {Rate(50)};
    CHECK(constant_rate(ticks, ninety_khz, doubled) == Rate(25));
}

TEST_CASE("jitter, a pause and a change of rate are each a variable rate") {
    const Rate stated[] = {Rate(30)};
    auto jitter = instants(Rate(30), 90, ninety_khz);
    for (std::size_t k = 1; k < jitter.size(); k += 3)
        jitter[k] += 500; // 5.6 ms of 33.3
    CHECK_FALSE(constant_rate(jitter, ninety_khz, stated));

    auto pause = instants(Rate(30), 90, ninety_khz);
    for (std::size_t k = 45; k < pause.size(); ++k)
        pause[k] += 3000; // one picture missing
    CHECK_FALSE(constant_rate(pause, ninety_khz, stated));

    auto slower = instants(Rate(30), 45, ninety_khz);
    for (int k = 0; k < 45; ++k)
        slower.push_back(slower.back() + 6000);
    CHECK_FALSE(constant_rate(slower, ninety_khz, stated));
}

TEST_CASE("one picture has the stated rate, none has none") {
    const std::int64_t one[] = {512};
    const Rate stated[] = {Rate(25)};
    CHECK(constant_rate(one, millisecond, stated) == Rate(25));
    CHECK_FALSE(constant_rate(one, millisecond, {}));
    CHECK(mean_rate(one, millisecond) == 0);
    CHECK_FALSE(constant_rate({}, millisecond, {}));
}

TEST_CASE("stated rates are snapped where near a rate of the trade and exact elsewhere") {
    CHECK(stated_rate(2997, 100) == Rate(30000, 1001));
    CHECK(stated_rate(19001, 317) == Rate(60000, 1001));
    CHECK(stated_rate(1000000, 33333) == Rate(30));
    CHECK(stated_rate(25, 2) == Rate(25, 2));
    CHECK(stated_rate(15000, 1001) == Rate(15000, 1001));
    CHECK_FALSE(stated_rate(0, 0));
    CHECK_FALSE(stated_rate(90000, 1));
    CHECK_FALSE(stated_rate(-25, 1));
}
