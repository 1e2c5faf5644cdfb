// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "impacts/front_end.h"
#include "impacts/tone.h"
#include "support/catch.h"
#include "support/contact_synth.h"
#include "support/dice.h"

#include <algorithm>
#include <cmath>
#include <numbers>
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
        CHECK(tones_after(noise, at).whistle < 3.5f);
        CHECK(tones_after(whistle, at).whistle > 5.5f);
    }
}

TEST_CASE("the tones of two channels are those of both, whichever way round they are") {
    const std::vector<float> line = with_line(48000, 3000, 0.05), noise = with_line(48000, 3000, 0);
    const auto tones_of = [](const std::vector<float>& left, const std::vector<float>& right) {
        FrontEnd front(48000, 2);
        const std::vector<const float*> channels{left.data(), right.data()};
        front.push({channels, left.size()}, [](const auto&) {});
        return tones_after(front, front.past_end() / 2);
    };
    std::vector<float> turned = noise, later = line, louder = noise;
    for (float& x : turned)
        x = -x;
    std::rotate(later.begin(), later.begin() + 4, later.end()); // a quarter of the line's period
    const float one = tones_of(line, noise).whistle;
    CHECK(one > 5);
    CHECK(tones_of(noise, line).whistle == Approx(one).margin(0.001));
    CHECK(tones_of(line, turned).whistle == Approx(one).margin(0.001));
    // Lines a quarter apart in both channels: their powers add, they neither cancel nor hide.
    CHECK(tones_of(line, later).whistle == Approx(tones_of(line, line).whistle).margin(0.5));
}

TEST_CASE("a struck ball rings, a burst of noise does not") {
    test::Dice dice(4);
    const double rate = 48000;
    const auto ring_of = [&](const test::Signal& sound) {
        FrontEnd front(48000, 1);
        test::Signal clip(48000);
        for (float& x : clip)
            x = static_cast<float>(1e-3 * dice.noise());
        test::lay(clip, sound, 0.5, rate, 1);
        frames_of(front, clip);
        return tones_after(front, 24000 + 288).ring;
    };
    test::Signal partial(test::samples_of(0.1, rate));
    for (std::size_t i = 0; i < partial.size(); ++i) {
        const double t = static_cast<double>(i) / rate;
        partial[i] = static_cast<float>(std::sin(2 * std::numbers::pi * 180 * t) *
                                        test::strike_envelope(t, 0.001, 0.03));
    }
    float burst = 0;
    for (int i = 0; i < 9; ++i)
        burst += ring_of(test::noise_burst(dice, rate, 400, 0.6, 0.01, 0.03)) / 9;
    CHECK(ring_of(partial) > burst + 1.5f);
}
