// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "impacts/context.h"
#include "support/catch.h"
#include "support/dice.h"

#include <vector>

using namespace downball;
using namespace downball::impacts;

namespace {

Candidate sound(double seconds, float level = 1) {
    Candidate c;
    c.seconds = seconds;
    c.level = level;
    c.rise.fill(2);
    return c;
}

std::vector<Candidate> judged(const std::vector<Candidate>& in) {
    std::vector<Candidate> out;
    Neighbourhood context(context_reach_s, judge_context);
    const auto sink = [&](const Candidate& c) { out.push_back(c); };
    for (const Candidate& c : in)
        context.push(c, sink);
    context.finish(sink);
    return out;
}

} // namespace

TEST_CASE("all come out, in order, each once") {
    std::vector<Candidate> in;
    for (int i = 0; i < 200; ++i)
        in.push_back(sound(0.11 * i));
    std::swap(in[50].seconds, in[51].seconds);
    const auto out = judged(in);
    REQUIRE(out.size() == in.size());
    for (std::size_t i = 1; i < out.size(); ++i)
        CHECK(out[i].seconds > out[i - 1].seconds);
}

TEST_CASE("equal steps stand out against irregular ones of the same density") {
    std::vector<Candidate> even, uneven;
    test::Dice dice(4);
    double t = 0;
    for (int i = 0; i < 20; ++i) {
        even.push_back(sound(0.5 * i));
        uneven.push_back(sound(t += dice.between(0.2, 0.8)));
    }
    CHECK(judged(even)[10].features[Feature::comb] > 0.6f);
    CHECK(judged(uneven)[10].features[Feature::comb] < 0.4f);
}

TEST_CASE("one wall gives the same delay again and again") {
    std::vector<Candidate> walls, free;
    double t = 1;
    for (int i = 0; i < 4; ++i, t += 1.1 + 0.2 * i) {
        walls.push_back(sound(t, 1));
        walls.push_back(sound(t + 0.1, 0.1f));
        free.push_back(sound(t, 1));
        free.push_back(sound(t + 0.06 + 0.025 * i, 0.1f));
    }
    CHECK(judged(walls)[3].features[Feature::repeat] >= 3);
    CHECK(judged(walls)[3].features[Feature::echo] > 0.5f);
    CHECK(judged(free)[3].features[Feature::repeat] == 0);
    CHECK(judged(walls)[2].features[Feature::after] == 0);
}

TEST_CASE("applause is dense, a rally is not; faint neighbours hardly count") {
    std::vector<Candidate> applause, rally, faint;
    for (int i = 0; i < 60; ++i)
        applause.push_back(sound(0.05 * i));
    for (int i = 0; i < 5; ++i)
        rally.push_back(sound(1.1 * i));
    for (int i = 0; i < 60; ++i)
        faint.push_back(sound(0.05 * i, i == 30 ? 1 : 0.01f));
    CHECK(judged(applause)[30].features[Feature::density] > 30);
    CHECK(judged(rally)[2].features[Feature::density] < 1);
    CHECK(judged(faint)[30].features[Feature::density] < 1);
    CHECK(judged(faint)[30].features[Feature::rank] > judged(applause)[30].features[Feature::rank]);
}
