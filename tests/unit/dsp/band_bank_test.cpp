// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "support/dice.h"

#include "downball/dsp/band_bank.h"

#include <algorithm>
#include <cmath>
#include <vector>

using namespace downball;
using namespace downball::dsp;

namespace {

std::vector<float> sine(double hz, double rate, std::size_t count) {
    std::vector<float> s(count);
    for (std::size_t i = 0; i < count; ++i)
        s[i] = static_cast<float>(0.5 * std::sin(2 * std::acos(-1.0) * hz * static_cast<double>(i) / rate));
    return s;
}

std::vector<float> noise(std::size_t count) {
    test::Dice dice(7);
    std::vector<float> s(count);
    for (float& x : s)
        x = static_cast<float>(0.1 * dice.noise());
    return s;
}

} // namespace

TEST_CASE("a sine is loudest in the band it is the centre of") {
    const BandPlan plan;
    for (const double rate : {8000.0, 44100.0, 48000.0}) {
        for (std::size_t b = 0; b < band_count; ++b) {
            BandBank bank(rate);
            if (!bank.has(b)) continue;
            const Bands e = bank.energy(sine(plan.centre_hz[b], rate, static_cast<std::size_t>(rate)));
            CHECK(std::max_element(e.begin(), e.end()) - e.begin() == static_cast<std::ptrdiff_t>(b));
            CHECK(static_cast<double>(e[b]) / rate == Approx(0.125).epsilon(0.05));
        }
    }
}

TEST_CASE("a band the rate cannot hold is silent") {
    BandBank bank(8000);
    CHECK(bank.has(6));
    CHECK_FALSE(bank.has(7));
    CHECK(bank.energy(noise(8000))[7] == 0);
}

TEST_CASE("turning the sign round changes no bit, doubling the gain quadruples exactly") {
    const std::vector<float> once = noise(4800);
    std::vector<float> turned = once, doubled = once;
    for (std::size_t i = 0; i < once.size(); ++i) {
        turned[i] = -once[i];
        doubled[i] = 2 * once[i];
    }
    BandBank a(48000), b(48000), c(48000);
    const Bands plain = a.energy(once), other = b.energy(turned), loud = c.energy(doubled);
    for (std::size_t i = 0; i < band_count; ++i) {
        CHECK(plain[i] == other[i]);
        CHECK(4 * plain[i] == loud[i]);
    }
}

TEST_CASE("DC leaves no energy once the filters have settled") {
    BandBank bank(48000);
    const std::vector<float> dc(48000, 0.5f);
    (void)bank.energy(dc);
    for (const float e : bank.energy(dc))
        CHECK(static_cast<double>(e) / 48000 < 1e-12);
}
