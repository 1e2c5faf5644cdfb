// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "bench/impacts/detector.h"
#include "support/hit_score.h"

#include <array>
#include <map>
#include <string>
#include <vector>

// What a detector made of some clips.
namespace downball::bench {

inline constexpr std::array<double, 3> windows_s{0.050, 0.020, 0.010};
inline constexpr std::size_t skill_count = 6;

struct Share {
    std::size_t part = 0, all = 0;
    double value() const { return all ? static_cast<double>(part) / static_cast<double>(all) : 1; }
    Share& operator+=(const Share& o) {
        part += o.part;
        all += o.all;
        return *this;
    }
};

struct Judged {
    double confidence;
    bool contact; // within 50 ms of one that no surer candidate took
};

struct Tally {
    std::array<std::size_t, windows_s.size()> hits{};
    std::size_t found = 0, truth = 0; // found: over the floor
    std::vector<double> errors_s;     // of the hits at 50 ms
    std::vector<Judged> judged;       // every candidate
    std::array<Share, skill_count> by_skill;
    std::map<std::string, std::size_t> false_by_kind;
    double seconds = 0, cpu_s = 0, stereo_seconds = 0, stereo_cpu_s = 0; // stereo: 48 kHz and two channels

    Tally& operator+=(const Tally& o);

    double f(std::size_t window) const { return test::f_measure(hits[window], found, truth); }
    double precision() const { return Share{hits[0], found}.value(); }
    double recall() const { return Share{hits[0], truth}.value(); }
    double false_a_minute() const { return 60 * static_cast<double>(found - hits[0]) / seconds; }
    double average_precision() const;
    double bias_s() const { return test::median_of(errors_s); }
    double error_s() const;
    Share hard() const; // serve, attack, block
    Share soft() const; // pass, set, dig
};

Tally tally_of(const test::MixedClip& clip, const Found& found, double cpu_s);

Tally sum(const std::vector<const Tally*>& tallies);

// Standard error of F at 50 ms: jackknife over the clips (Efron & Tibshirani, An Introduction to the Bootstrap,
// 1993, chapter 11).
double f_error(const std::vector<const Tally*>& tallies);

} // namespace downball::bench
