// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "shotlog/in_order.h"
#include "support/catch.h"

#include <random>

using namespace downball::shotlog;
using Pairs = std::vector<std::pair<std::size_t, std::size_t>>;
using Gains = std::vector<std::vector<std::optional<double>>>;

namespace {

// Every pairing there is, tried one by one.
void best_of_all(const Gains& gains, std::size_t i, std::size_t j, std::size_t pairs, double sum,
                 std::pair<std::size_t, double>& best) {
    best = std::max(best, {pairs, sum});
    for (std::size_t a = i; a < gains.size(); ++a) {
        for (std::size_t b = j; b < gains[a].size(); ++b)
            if (gains[a][b]) best_of_all(gains, a + 1, b + 1, pairs + 1, sum + *gains[a][b], best);
    }
}

} // namespace

TEST_CASE("pairs do not cross, and ties go to the smaller indices") {
    const auto equal = [](std::size_t, std::size_t) { return std::optional(1.0); };
    CHECK(pair_in_order(2, 3, equal) == Pairs{{0, 0}, {1, 1}});
    CHECK(pair_in_order(3, 1, equal) == Pairs{{0, 0}});
    CHECK(pair_in_order(0, 3, equal).empty());
    CHECK(pair_in_order(2, 2, [](std::size_t, std::size_t) { return std::optional<double>(); }).empty());
}

TEST_CASE("law: no pairing is larger or better, by trying all of them") {
    std::mt19937 random(7);
    for (int round = 0; round < 300; ++round) {
        const std::size_t n = random() % 5, m = random() % 5;
        Gains gains(n, std::vector<std::optional<double>>(m));
        for (auto& row : gains) {
            for (auto& gain : row)
                if (random() % 4 != 0) gain = static_cast<double>(random() % 9) / 8 - 0.5;
        }
        std::pair<std::size_t, double> best{0, 0};
        best_of_all(gains, 0, 0, 0, 0, best);
        const Pairs pairs = pair_in_order(n, m, [&](std::size_t i, std::size_t j) { return gains[i][j]; });
        double sum = 0;
        for (std::size_t k = 0; k < pairs.size(); ++k) {
            sum += *gains[pairs[k].first][pairs[k].second];
            if (k > 0) CHECK((pairs[k - 1].first < pairs[k].first && pairs[k - 1].second < pairs[k].second));
        }
        CHECK(pairs.size() == best.first);
        CHECK(sum == Approx(best.second).margin(1e-12));
    }
}
