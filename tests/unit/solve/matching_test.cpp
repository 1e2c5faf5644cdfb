// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/matching.h"
#include "support/catch.h"
#include "unit/solve/random_job.h"

#include <cmath>
#include <limits>
#include <numeric>

using namespace downball;
using namespace downball::solve;

namespace {

// What each clip is served, told by the plain costs.
double plainly(const Setting& setting, const Matching::Ranked& others, std::size_t clip, double unit,
               double has, bool later) {
    double best = has;
    for (const auto& [value, other] : others) {
        if (setting.tags[other].kin == setting.tags[clip].kin) continue;
        const double cost =
            later ? strangers_cost(setting, other, clip) : strangers_cost(setting, clip, other);
        best = std::max(best, value - unit * cost);
    }
    return best;
}

void compare(const tests::Job& job, tests::Dice& dice, double spread) {
    const Problem problem = job.problem();
    const Setting setting = make_setting(problem);
    const std::size_t n = setting.stock.clips.size();
    const Weights& w = job.limits.weights;
    const double dearest = w.variety + w.side + w.spread + w.reaction + w.chronology;
    std::vector<std::uint32_t> clips(n);
    std::iota(clips.begin(), clips.end(), 0U);
    for (const bool later : {false, true}) {
        const Matching matching(setting, clips, later);
        Matching::Ranked others;
        for (const std::uint32_t clip : clips)
            if (dice.chance(0.8)) others.emplace_back(dice.real(-spread, spread), clip);
        const double unit = dice.real(0.001, 0.1);
        std::vector<double> had(n + 4, -std::numeric_limits<double>::infinity());
        for (double& has : had)
            if (dice.chance(0.3)) has = dice.real(-spread, spread);
        std::vector<double> best = had;
        std::vector<std::uint32_t> which(n + 4);
        const Matching::Ranked plain = others;
        matching.serve(others, unit, 0, n, best, which);
        for (std::size_t c = 0; c < n; ++c) {
            const double wanted = plainly(setting, plain, c, unit, had[c], later);
            INFO("clip " << c << ", later " << later);
            if (std::isinf(wanted)) {
                CHECK(best[c] == wanted);
                continue;
            }
            CHECK(best[c] >= wanted);
            CHECK(best[c] <= wanted + 4e-6 * (1 + spread + unit * dearest));
        }
    }
}

} // namespace

TEST_CASE("the matching in single precision is never below the plain costs, and hardly above") {
    tests::Dice dice(11);
    for (std::uint64_t seed = 1; seed <= 30; ++seed) {
        INFO("seed " << seed);
        tests::Job job = tests::make_job(seed, {40, 30, 126, Rate(25), 3, 0.3, 8});
        for (double Weights::*weight :
             {&Weights::variety, &Weights::side, &Weights::spread, &Weights::reaction})
            if (dice.chance(0.3)) job.limits.weights.*weight = dice.chance(0.5) ? 0 : dice.real(0, 1000);
        job.limits.story.order = static_cast<Order>(dice.whole(0, 2));
        for (const double spread : {0.1, 5.0, 300.0})
            compare(job, dice, spread);
    }
}
