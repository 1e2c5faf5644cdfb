// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "unit/solve/random_job.h"

#include "downball/solve/terms.h"

#include <chrono>
#include <cstdlib>
#include <ctime>
#include <fmt/format.h>

using namespace downball;

// solve_bench [JOB [SEEDS [terms]]]
// Size, processor and wall time, score, proven limit and gap of the solver on generated jobs of growing size.
int main(int argc, char** argv) {
    struct Row {
        const char* name;
        tests::JobSize size;
    };
    const Row rows[] = {
        {"sample", {45, 60, 126, Rate(25), 3, 0.25, 8}},
        {"small", {40, 60, 128, Rate(25), 3, 0.25, 8}},
        {"medium", {200, 120, 128, Rate(25), 3, 0.25, 8}},
        {"large", {500, 180, 128, Rate(30000, 1001), 5, 0.2, 10}},
        {"huge", {5000, 180, 128, Rate(30000, 1001), 5, 0.2, 10}},
    };
    fmt::print("{:8} {:>5} {:>8} {:>6} {:>9} {:>9} {:>7} {:>8} {:>8}\n", "job", "takes", "contacts", "shots",
               "score", "limit", "gap %", "CPU s", "wall s");
    for (const Row& row : rows) {
        if (argc > 1 && std::string(argv[1]) != row.name) continue;
        const std::uint64_t seeds = argc > 2 ? std::strtoull(argv[2], nullptr, 10) : 3;
        for (std::uint64_t seed = 1; seed <= seeds; ++seed) {
            tests::Job job = tests::make_job(seed, row.size);
            std::size_t contacts = 0;
            for (const Take& take : job.log.takes)
                contacts += take.impacts.size();
            std::clock_t begin = std::clock();
            auto start = std::chrono::steady_clock::now();
            solve::Outcome outcome = solve::solve(job.problem());
            double wall = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
            double took = static_cast<double>(std::clock() - begin) / CLOCKS_PER_SEC;
            if (const auto* plan = std::get_if<CutPlan>(&outcome)) {
                auto breaches = solve::check(job.problem(), *plan);
                fmt::print("{:8} {:5} {:8} {:6} {:9.4f} {:9.4f} {:7.2f} {:8.3f} {:8.3f}\n", row.name,
                           row.size.takes, contacts, plan->shots.size(), plan->score, plan->limit,
                           100 * plan->gap(), took, wall);
                for (const std::string& breach : breaches)
                    fmt::print("  breach: {}\n", breach);
                if (argc > 3)
                    for (const TermScore& term : plan->terms)
                        fmt::print("    {:12} {:6.3f} x {:5.2f}\n", term.name, term.value, term.weight);
            } else
                for (const std::string& limit : std::get<Conflict>(outcome).limits)
                    fmt::print("{:8} no cut: {} ({:.2f} s)\n", row.name, limit, took);
        }
    }
}
