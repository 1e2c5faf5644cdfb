// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <algorithm>
#include <cmath>
#include <span>
#include <vector>

// Scores instants found against instants that are true.
namespace downball::test {

struct Pairing {
    std::size_t hits = 0, found = 0, truth = 0;
    std::vector<double> errors_s;         // found - true, of the hits
    std::vector<std::ptrdiff_t> truth_of; // by found one: index of its true one, or -1
    double precision() const { return found ? static_cast<double>(hits) / static_cast<double>(found) : 1; }
    double recall() const { return truth ? static_cast<double>(hits) / static_cast<double>(truth) : 1; }
};

// One to one within +-window, both in order. Going through in order and pairing whenever two are near enough
// gives the largest number of pairs for intervals of equal width.
inline Pairing pair_up(std::span<const double> found, std::span<const double> truth, double window_s) {
    Pairing p;
    p.found = found.size();
    p.truth = truth.size();
    p.truth_of.assign(found.size(), -1);
    std::size_t t = 0;
    for (std::size_t f = 0; f < found.size(); ++f) {
        while (t < truth.size() && truth[t] < found[f] - window_s)
            ++t;
        if (t < truth.size() && std::abs(found[f] - truth[t]) <= window_s) {
            ++p.hits;
            p.errors_s.push_back(found[f] - truth[t]);
            p.truth_of[f] = static_cast<std::ptrdiff_t>(t++);
        }
    }
    return p;
}

inline double f_measure(std::size_t hits, std::size_t found, std::size_t truth) {
    return found + truth ? 2 * static_cast<double>(hits) / static_cast<double>(found + truth) : 1;
}

inline double median_of(std::vector<double> values) {
    if (values.empty()) return 0;
    const auto mid = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), mid, values.end());
    return *mid;
}

} // namespace downball::test
