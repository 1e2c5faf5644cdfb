// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/impacts/tables.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

namespace downball::bench {

namespace {

struct Bin {
    double stated = 0, true_ones = 0, count = 0;
};
using Bins = std::array<Bin, 10>;

Bins bins_of(const std::vector<Judged>& judged) {
    Bins bins;
    for (const Judged& j : judged) {
        Bin& bin = bins[static_cast<std::size_t>(std::clamp(static_cast<int>(j.confidence * 10), 0, 9))];
        bin.stated += j.confidence;
        bin.true_ones += j.contact;
        ++bin.count;
    }
    return bins;
}

// Of the bins from `first` on.
double calibration_error(const Bins& bins, std::size_t first) {
    double error = 0, count = 0;
    for (std::size_t i = first; i < bins.size(); ++i) {
        error += std::abs(bins[i].stated - bins[i].true_ones);
        count += bins[i].count;
    }
    return count > 0 ? error / count : 0;
}

} // namespace

void print_calibration(const std::vector<Trial>& trials) {
    const Bins seen = bins_of(sum(tallies(trials, "downball", kind(true))).judged),
               unseen = bins_of(sum(tallies(trials, "downball", kind(false))).judged);
    std::printf("  confidence    seen: stated   true  count    unseen: stated   true  count\n");
    for (std::size_t i = 0; i < seen.size(); ++i) {
        std::printf("  %.1f - %.1f  ", static_cast<double>(i) / 10, static_cast<double>(i + 1) / 10);
        for (const Bin& b : {seen[i], unseen[i]}) {
            const double count = std::max(1.0, b.count);
            std::printf("            %.3f  %.3f  %5.0f", b.stated / count, b.true_ones / count, b.count);
        }
        std::printf("\n");
    }
    std::printf(
        "  expected calibration error  seen %.4f, unseen %.4f; of those from 0.1 up  seen %.4f, unseen "
        "%.4f\n",
        calibration_error(seen, 0), calibration_error(unseen, 0), calibration_error(seen, 1),
        calibration_error(unseen, 1));
}

void print_mistakes(const std::vector<Trial>& trials, bool seen) {
    const Tally t = sum(tallies(trials, "downball", kind(seen)));
    std::printf("  %-6s  missed:", seen ? "seen" : "unseen");
    for (std::size_t s = 0; s < skill_count; ++s) {
        const Share& share = t.by_skill[s];
        std::printf(" %s %zu/%zu", std::string(to_string(static_cast<Skill>(s))).c_str(),
                    share.all - share.part, share.all);
    }
    std::vector<std::pair<std::size_t, std::string>> kinds;
    for (const auto& [name, count] : t.false_by_kind)
        kinds.push_back({count, name});
    std::sort(kinds.rbegin(), kinds.rend());
    std::printf("\n  %-6s  false:", "");
    for (const auto& [count, name] : kinds)
        std::printf(" %s %zu,", name.c_str(), count);
    std::printf(" of %.1f min\n", t.seconds / 60);
}

} // namespace downball::bench
