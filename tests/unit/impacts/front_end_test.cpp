// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "impacts/front_end.h"
#include "impacts/tone.h"
#include "support/catch.h"
#include "support/dice.h"

#include <cmath>
#include <vector>

using namespace downball;
using namespace downball::impacts;

namespace {

std::int64_t frames_of(FrontEnd& front, const std::vector<float>& s) {
    std::int64_t count = 0;
    const std::vector<const float*> one{s.data()};
    front.push({one, s.size()}, [&](const auto&) { ++count; });
    return count;
}

std::vector<float> with_line(double rate, double hz, double level) {
    test::Dice dice(2);
    std::vector<float> s(static_cast<std::size_t>(rate / 2));
    for (std::size_t i = 0; i < s.size(); ++i)
        s[i] = static_cast<float>(0.01 * dice.noise() +
                                  level * std::sin(6.283185307 * hz * static_cast<double>(i) / rate));
    return s;
}

} // namespace

TEST_CASE("frames last about a millisecond and together as long as the sound") {
    for (const int rate : {8000, 11025, 22050, 44100, 48000, 88200, 96000, 192000}) {
        FrontEnd front(rate, 1);
        CAPTURE(rate);
        CHECK(front.frame_s() == Approx(0.001).epsilon(0.1));
        CHECK(front.work_rate_hz() < 66150);
        const std::vector<float> s(static_cast<std::size_t>(rate), 0.1f);
        CHECK(static_cast<double>(frames_of(front, s)) * front.frame_s() == Approx(1).margin(0.0011));
    }
}

TEST_CASE("a flat top is clipping, a peak is not") {
    FrontEnd front(48000, 1);
    std::vector<float> s(48000, 0.0f);
    s[100] = 1;
    s[200] = s[201] = 1;
    for (std::size_t i = 300; i < 310; ++i)
        s[i] = -1;
    frames_of(front, s);
    CHECK(front.health()[0].clipped == 1);
}

TEST_CASE("a whistle is a line, noise is not") {
    for (const double rate : {16000.0, 44100.0, 48000.0, 96000.0}) {
        CAPTURE(rate);
        FrontEnd noise(static_cast<int>(rate), 1), whistle(static_cast<int>(rate), 1);
        frames_of(noise, with_line(rate, 3000, 0));
        frames_of(whistle, with_line(rate, 3000, 0.05));
        const auto at = noise.past_end() / 2;
        CHECK(tone_after(noise, at) < 3.5f);
        CHECK(tone_after(whistle, at) > 5.5f);
    }
}
