// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"

#include "downball/dsp/onset.h"

using downball::dsp::RiseCurve;

namespace {

std::size_t steepest(const RiseCurve& rise) {
    std::size_t best = 20; // what sounds from the first cell on rises there as well
    for (std::size_t j = 20; j < rise.size(); ++j)
        if (rise[j] > rise[best]) best = j;
    return best;
}

} // namespace

TEST_CASE("A rise is steepest at its first cell: click, step, step on top of sound", "[dsp]") {
    std::vector<float> click(100, 0.0f), step(100, 0.0f), raised(100, 0.2f);
    click[60] = 1;
    for (std::size_t i = 60; i < 100; ++i)
        step[i] = 1;
    for (std::size_t i = 60; i < 100; ++i)
        raised[i] = 2;
    for (const auto& energy : {click, step, raised})
        CHECK(steepest(RiseCurve(energy, 8, 14, 1e-6)) == 60);
}

TEST_CASE("Nothing rises in a constant, in silence, or where sound ends", "[dsp]") {
    std::vector<float> ends(60, 1.0f);
    ends.resize(100, 0.0f);
    const RiseCurve rise(ends, 8, 14, 1e-6);
    for (std::size_t j = 20; j < 92; ++j)
        CHECK(rise[j] == Approx(0).margin(0.01));
    const RiseCurve silent(std::vector<float>(50, 0.0f), 8, 14, 1e-6);
    for (std::size_t j = 0; j < silent.size(); ++j)
        CHECK(silent[j] == 0);
}

TEST_CASE("A rise does not depend on the level", "[dsp]") {
    std::vector<float> energy(100, 0.01f), loud(100, 10.0f);
    for (std::size_t i = 40; i < 100; ++i) {
        energy[i] = 0.5f;
        loud[i] = 500.0f;
    }
    const RiseCurve a(energy, 8, 14, 1e-9), b(loud, 8, 14, 1e-6);
    for (std::size_t j = 15; j < 92; ++j)
        CHECK(a[j] == Approx(b[j]).margin(1e-4));
}
