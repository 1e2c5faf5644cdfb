// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "unit/solve/random_job.h"

#include <optional>

namespace downball::bench {

struct Row {
    std::string name;
    tests::JobSize job;
    bool programme_sized = false; // one lead, short shots: small enough for an integer programme
};

struct Timed {
    double wall_s = 0, cpu_s = 0; // processor time of all threads
};

struct Solved : Timed {
    std::optional<CutPlan> plan;
    std::string conflict; // where there is no plan
    std::size_t breaches = 0;
};

// What CBC says of the job; see support/solve_programme.
struct Optimum : Timed {
    std::string words; // where there is none: why
    std::optional<double> points;
};

// One job, and all that is measured of it.
struct Trial {
    std::uint64_t seed = 0;
    std::size_t contacts = 0, beats = 0;
    Solved solver;
    Solved greedy; // wall time only where it was asked
    Optimum optimum;
    double kept = 0, kept_in_place = 0; // shares of shots: after a weight has grown by 10 %
    Solved nudged, limited; // after that; after the longest shot has become 3.5 s, or 7/8 of itself
};

struct Asked {
    bool greedy = true;
    double cbc_s = 60;
};

tests::Job job_of(const Row& row, std::uint64_t seed);
Trial run_trial(const Row& row, std::uint64_t seed, const Asked& asked);

} // namespace downball::bench
