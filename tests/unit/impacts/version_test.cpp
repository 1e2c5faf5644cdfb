// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "unit/impacts/hear.h"

#include "downball/base/splitmix64.h"

#include <array>
#include <cmath>

using namespace downball;
using namespace downball::test;

namespace {

// Noise with nine hits, louder and softer ones: the same sound whatever compiles it, so that one draw is one statement.
Channels fixed_sound(std::uint64_t seed) {
    constexpr double rate = 48000;
    SplitMix64 random(seed);
    Channels sound(1, Signal(samples_of(10, rate)));
    for (float& x : sound[0])
        x = static_cast<float>(0.006 * (random.unit() - 0.5));
    for (int hit = 0; hit < 9; ++hit) {
        const double at_s = 0.8 + hit + 0.3 * random.unit(), level = 0.02 + 0.2 * random.unit();
        const double body_hz = 130 + 120 * random.unit();
        const auto first = samples_of(at_s, rate);
        for (std::size_t i = 0; i < 4800 && first + i < sound[0].size(); ++i) {
            const double t = static_cast<double>(i) / rate;
            const double slap = (random.unit() - 0.5) * std::exp(-t / 0.004);
            const double body = std::sin(6.283185307 * body_hz * t) * std::exp(-t / 0.02);
            sound[0][first + i] += static_cast<float>(level * (slap + body));
        }
    }
    return sound;
}

} // namespace

// Contacts that were kept are taken for what the finder would find. Whoever changes what it finds has to say so.
TEST_CASE("what the finder hears is what its version has heard before") {
    struct Figures {
        std::size_t candidates;
        double seconds, confidence, strength; // sums
    };
    const std::array<Figures, 3> of_version_1{{{49, 248.785, 8.6566, 8.01435},
                                               {52, 254.02925, 7.95579, 7.31822},
                                               {47, 243.9815, 8.24324, 8.26633}}};
    INFO("if this fails and is meant to: raise impacts::detector_version, then write the new figures here");
    REQUIRE(impacts::detector_version == 1);
    for (std::size_t i = 0; i < of_version_1.size(); ++i) {
        const auto hearing = hear(fixed_sound(i + 1), 48000, 4096, {.floor = 0});
        double seconds = 0, confidence = 0, strength = 0;
        for (const Heard& contact : hearing.contacts) {
            seconds += contact.sound_s;
            confidence += contact.confidence;
            strength += contact.strength;
        }
        CHECK(hearing.contacts.size() == of_version_1[i].candidates);
        CHECK(seconds == Approx(of_version_1[i].seconds).margin(1e-4));
        CHECK(confidence == Approx(of_version_1[i].confidence).margin(1e-3));
        CHECK(strength == Approx(of_version_1[i].strength).margin(1e-3));
    }
}
