// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "impacts/rally.h"
#include "support/catch.h"

#include <cmath>

using namespace downball;
using namespace downball::impacts;

namespace {

Scored sound(double seconds, double log_odds, double hard_log_odds = 0) {
    return {seconds, log_odds, 1, 1, hard_log_odds};
}

} // namespace

TEST_CASE("a weak contact between two sure ones is raised where the ball's flights say so") {
    // Serve, pass, a set that is hardly heard, attack.
    const std::vector<Scored> rally{sound(1, 4, 2), sound(1.7, 4, -2), sound(2.85, -0.5, -2),
                                    sound(3.8, 4, 2)};
    const auto read = read_rallies(rally);
    CHECK(read[2].gain > 0.7);

    // The same sound too soon after a contact for any flight, and far from all others.
    auto early = rally, alone = rally;
    early[2].seconds = 1.82;
    alone[2].seconds = 30;
    alone[3].seconds = 60;
    CHECK(read_rallies(early)[2].gain < 0);
    CHECK(read_rallies(alone)[2].gain < read[2].gain - 0.7);
}

TEST_CASE("the place in a rally tells hard from soft where the sound does not") {
    const std::vector<Scored> rally{sound(1, 6, 3), sound(1.7, 6, -3), sound(2.85, 6), sound(3.8, 6)};
    const auto read = read_rallies(rally);
    CHECK(read[0].hard > 0.8);
    CHECK(read[2].hard < 0.3);
    CHECK(read[3].hard > 0.7);
}

TEST_CASE("a contact alone gains nothing and loses nothing") {
    for (const double log_odds : {-3.0, 0.0, 3.0}) {
        const auto read = read_rallies(std::vector{sound(5, log_odds)});
        REQUIRE(read.size() == 1);
        CHECK(read[0].gain == Approx(0).margin(1e-9));
    }
    CHECK(read_rallies({}).empty());
}

TEST_CASE("a shift of the clip changes no reading, and hours of contacts stay finite") {
    std::vector<Scored> clip;
    for (int i = 0; i < 20000; ++i)
        clip.push_back(sound(i * 0.9, i % 3 ? 5 : -2));
    const auto read = read_rallies(clip);
    for (const InRally& r : read) {
        REQUIRE(std::isfinite(r.gain));
        REQUIRE((r.hard >= 0 && r.hard <= 1));
    }
    CHECK(read[9000].gain == Approx(read[12000].gain).margin(1e-6));
}

TEST_CASE("rallies end where two of the longest flights are not enough") {
    std::vector<Heard> contacts;
    for (const double s : {1.0, 1.7, 4.5, 5.0, 8.0})
        contacts.push_back({s, s == 5.0 ? 0.2 : 0.9, 0, 0.5, -1});
    count_rallies(contacts);
    std::vector<int> rallies;
    for (const Heard& c : contacts)
        rallies.push_back(c.rally);
    CHECK(rallies == std::vector{0, 0, 0, -1, 1});
}
