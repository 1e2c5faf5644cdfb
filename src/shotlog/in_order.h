// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <algorithm>
#include <cstddef>
#include <optional>
#include <utility>
#include <vector>

namespace downball::shotlog {

// Pairs n things with m others so that no two pairs cross: as many pairs as can be, and of those pairings one
// with the largest sum of gains. gain(i, j) gives nothing where i and j cannot pair. Ties go to the pairing
// whose earlier pairs have the smaller indices.
template <class Gain>
std::vector<std::pair<std::size_t, std::size_t>> pair_in_order(std::size_t n, std::size_t m, Gain gain) {
    struct Best {
        std::size_t pairs = 0;
        double sum = 0;
        bool operator<(const Best& other) const {
            return pairs != other.pairs ? pairs < other.pairs : sum < other.sum;
        }
    };
    // best[i][j]: of the pairings of the things from i on with the others from j on.
    std::vector<std::vector<Best>> best(n + 1, std::vector<Best>(m + 1));
    const auto paired = [&](std::size_t i, std::size_t j) -> Best {
        const std::optional<double> here = gain(i, j);
        if (!here) return {};
        return {best[i + 1][j + 1].pairs + 1, best[i + 1][j + 1].sum + *here};
    };
    for (std::size_t i = n; i-- > 0;) {
        for (std::size_t j = m; j-- > 0;)
            best[i][j] = std::max({paired(i, j), best[i + 1][j], best[i][j + 1]});
    }
    std::vector<std::pair<std::size_t, std::size_t>> pairs;
    for (std::size_t i = 0, j = 0; i < n && j < m && best[i][j].pairs > 0;) {
        if (gain(i, j) && !(paired(i, j) < best[i][j])) {
            pairs.emplace_back(i++, j++);
        } else if (!(best[i][j + 1] < best[i][j])) {
            ++j;
        } else {
            ++i;
        }
    }
    return pairs;
}

} // namespace downball::shotlog
