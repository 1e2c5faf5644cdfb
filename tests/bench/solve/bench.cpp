// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
// The solver on generated jobs of growing size, beside a greedy cut and, where it is small enough, beside the optimum
// of an integer programme. Prints figures; judges nothing.
//   solve_bench [tiny] [small] [medium] [large] [huge] [--quick] [--seeds N] [--cbc-seconds S] [--no-greedy]
#include "bench/solve/tables.h"

#include <CLI/CLI.hpp>

using namespace downball;
using namespace downball::bench;

namespace {

const Rate ntsc{30000, 1001};

// takes, seconds, BPM, rate, contacts a take, share of takes without, seconds a take
const std::vector<Row> rows{
    {"tiny", {10, 11, 128, Rate(25), 2, 0.4, 6}, true}, {"small", {40, 60, 128, Rate(25), 3, 0.25, 8}},
    {"medium", {200, 120, 128, Rate(25), 3, 0.25, 8}},  {"large", {500, 180, 128, ntsc, 6, 0.2, 10}},
    {"huge", {5000, 180, 128, ntsc, 6, 0.2, 10}},
};

} // namespace

int main(int argc, char** argv) {
    CLI::App app{"the solver on generated jobs, beside a greedy cut and CBC's optimum"};
    std::vector<std::string> names;
    int seeds = 5;
    bool quick = false, no_greedy = false;
    Asked asked;
    app.add_option("size", names, "tiny small medium large huge; default: all but huge")
        ->check(CLI::IsMember({"tiny", "small", "medium", "large", "huge"}));
    app.add_option("--seeds", seeds, "jobs a size")->check(CLI::PositiveNumber);
    app.add_flag("--quick", quick, "two jobs a size, CBC for 20 s");
    app.add_option("--cbc-seconds", asked.cbc_s, "CBC may take so long a job")->check(CLI::PositiveNumber);
    app.add_flag("--no-greedy", no_greedy, "leave the greedy cut out");
    CLI11_PARSE(app, argc, argv);
    if (quick) {
        seeds = std::min(seeds, 2);
        asked.cbc_s = std::min(asked.cbc_s, 20.0);
    }
    if (names.empty()) names = {"tiny", "small", "medium", "large"};
    fmt::print("CBC may take {:.0f} s a job. tiny: one lead of 0.12 s, longest shot 2 s.\n", asked.cbc_s);
    print_head();
    std::vector<std::pair<Row, std::vector<Trial>>> all;
    for (const Row& row : rows) {
        if (std::find(names.begin(), names.end(), row.name) == names.end()) continue;
        all.push_back({row, {}});
        asked.greedy = !no_greedy && row.name != "huge"; // there it takes many minutes
        for (int seed = 1; seed <= seeds; ++seed) {
            all.back().second.push_back(run_trial(row, static_cast<std::uint64_t>(seed), asked));
            print_trial(row, all.back().second.back());
        }
    }
    print_summary(all);
}
