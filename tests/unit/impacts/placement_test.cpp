// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "impacts/front_end.h"
#include "impacts/placement.h"
#include "support/catch.h"
#include "support/dice.h"
#include "support/hit_score.h"

#include <cmath>
#include <vector>

using namespace downball;
using namespace downball::impacts;

namespace {

// Noise that becomes `ratio` times as strong at a sample; where is the change said to be?
double error_s(double rate, double ratio, std::uint64_t seed) {
    test::Dice dice(seed);
    FrontEnd front(static_cast<int>(rate), 1);
    FrameStore store;
    const auto change = static_cast<std::size_t>(rate * dice.between(0.30, 0.31));
    std::vector<float> s(static_cast<std::size_t>(rate * 0.5));
    for (std::size_t i = 0; i < s.size(); ++i)
        s[i] = static_cast<float>(0.01 * dice.noise() * (i < change ? 1 : ratio));
    const std::vector<const float*> one{s.data()};
    front.push({one, s.size()}, [&](const auto& fine) { store.push(fine, {}); });
    const double change_s = static_cast<double>(change) / rate;
    const auto near = static_cast<std::int64_t>(change_s / front.frame_s()) + 2;
    const double fine_s = front.frame_s() / fine_per_frame;
    return place_onset(store, front.bank(), fine_s, near) * fine_s - change_s;
}

} // namespace

TEST_CASE("the change from quiet to loud is placed within a millisecond, and not by bias") {
    for (const double rate : {16000.0, 44100.0, 48000.0}) {
        for (const double ratio : {2.0, 4.0, 16.0}) {
            CAPTURE(rate, ratio);
            std::vector<double> errors, sizes;
            for (std::uint64_t seed = 0; seed < 21; ++seed) {
                errors.push_back(error_s(rate, ratio, seed));
                sizes.push_back(std::abs(errors.back()));
            }
            CHECK(std::abs(test::median_of(errors)) < 0.0005);
            CHECK(test::median_of(sizes) < (ratio < 3 ? 0.002 : 0.0005));
        }
    }
}
