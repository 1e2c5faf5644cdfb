// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/relaxation.h"
#include "solve/survey.h"
#include "support/catch.h"
#include "unit/solve/random_job.h"

#include <algorithm>
#include <vector>

using namespace downball;
using namespace downball::solve;

namespace {

std::vector<double> any_prices(const Rows& rows, tests::Dice& dice) {
    std::vector<double> prices;
    for (const Row& row : rows.rows) {
        const double price = dice.chance(0.5) ? 0 : dice.real(0, 0.2);
        prices.push_back(row.soft() ? std::min(price, row.price) : price);
    }
    return prices;
}

std::vector<std::vector<std::uint32_t>> everything(const Setting& setting, const QualityTable& qualities) {
    std::vector<std::vector<std::uint32_t>> lists(setting.grid.slots.size());
    for (std::size_t s = 0; s < lists.size(); ++s)
        for (std::uint32_t p = 0; p < setting.stock.plays.size(); ++p)
            if (qualities.at(p, s) >= 0) lists[s].push_back(p);
    return lists;
}

} // namespace

TEST_CASE("a survey of the stock is never below the relaxation over all of it, and hardly above") {
    tests::Dice dice(3);
    double worst = 0;
    for (std::uint64_t seed = 1; seed <= 24; ++seed) {
        INFO("seed " << seed);
        tests::Job job = tests::make_job(seed, {dice.whole(10, 60), 16, 126, Rate(25), 3, 0.3, 8});
        job.limits.story.order = static_cast<Order>(dice.whole(0, 2));
        job.limits.variety.replays = dice.chance(0.3);
        job.limits.pacing.cut_on = static_cast<CutOn>(dice.whole(0, 2));
        const Problem problem = job.problem();
        const Setting setting = make_setting(problem);
        const std::vector<Pin> pins = make_pins(setting);
        const Rows rows = make_rows(setting);
        const Arcs arcs = make_arcs(setting, pins);
        const QualityTable qualities(setting, pins);
        const Steps steps(setting, rows, qualities);
        Relaxation relaxation(setting, rows, arcs, steps);
        relaxation.let_in(everything(setting, qualities));
        Survey survey(setting, rows, arcs, steps, qualities);
        for (int n = 0; n < 4; ++n) {
            const std::vector<double> prices = any_prices(rows, dice);
            const Relaxation::Answer whole = relaxation.solve(prices);
            const double surveyed = survey.run(prices) + relaxation.offset(prices);
            REQUIRE(whole.possible == (surveyed > -1e9));
            if (!whole.possible) continue;
            // Both give back what rounding takes, a cut at a time, so that either may be a hair above the other.
            CHECK(surveyed >= whole.bound - 1e-4);
            worst = std::max(worst, surveyed - whole.bound);
        }
    }
    CHECK(worst < 0.1); // estimates stand in where looking would take too long; under a hundredth of a score
}
