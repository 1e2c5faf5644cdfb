// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/solve/tables.h"

#include <cmath>
#include <cstdio>

namespace downball::bench {
namespace {

// "median / worst", the worst being the largest or, if asked, the smallest.
std::string spread(std::vector<double> values, int digits, bool worst_is_least = false) {
    if (values.empty()) return "-";
    std::sort(values.begin(), values.end());
    std::size_t n = values.size();
    double median = n % 2 == 1 ? values[n / 2] : (values[n / 2 - 1] + values[n / 2]) / 2;
    return fmt::format("{:.{}f} / {:.{}f}", median, digits, worst_is_least ? values.front() : values.back(),
                       digits);
}

std::vector<double> each(const std::vector<Trial>& trials, const auto& value) {
    std::vector<double> values;
    for (const Trial& trial : trials)
        if (std::optional<double> found = value(trial)) values.push_back(*found);
    return values;
}

// To what is printed, so that nothing reads -0.
double below_percent(double score, double optimum) {
    return std::round(1e6 * (1 - score / optimum)) / 1e4 + 0.0;
}

std::string greedy_words(const Solved& greedy) {
    if (greedy.wall_s == 0) return "not run";
    if (!greedy.plan) return "dead end";
    return greedy.breaches > 0 ? fmt::format("{} breaches", greedy.breaches)
                               : fmt::format("{:.4f}", greedy.plan->score);
}

} // namespace

void print_head() {
    fmt::print("{:7} {:>4} {:>5} {:>8} {:>5} {:>5} {:>8} {:>8} {:>8} {:>8} {:>6} {:>10} {:>8} {:>10} {:>7}\n",
               "job", "seed", "takes", "contacts", "beats", "shots", "wall s", "CPU s", "score", "limit",
               "gap %", "greedy", "its s", "CBC", "its s");
}

void print_trial(const Row& row, const Trial& trial) {
    const Solved& solver = trial.solver;
    fmt::print("{:7} {:4} {:5} {:8} {:5} ", row.name, trial.seed, row.job.takes, trial.contacts, trial.beats);
    if (solver.plan)
        fmt::print("{:5} {:8.2f} {:8.2f} {:8.4f} {:8.4f} {:6.2f} ", solver.plan->shots.size(), solver.wall_s,
                   solver.cpu_s, solver.plan->score, solver.plan->limit, 100 * solver.plan->gap());
    else
        fmt::print("{:>5} {:8.2f} {:8.2f} {:>8} {:>8} {:>6} ", "-", solver.wall_s, solver.cpu_s, "no cut",
                   "-", "-");
    fmt::print("{:>10} {:8.2f} {:>10} {:7.2f}\n", greedy_words(trial.greedy), trial.greedy.wall_s,
               trial.optimum.points ? fmt::format("{:.4f}", *trial.optimum.points) : trial.optimum.words,
               trial.optimum.wall_s);
    if (!solver.plan) fmt::print("  no cut: {}\n", solver.conflict);
    if (solver.breaches > 0) fmt::print("  THE CUT BREAKS {} LIMITS\n", solver.breaches);
    std::fflush(stdout);
}

void print_summary(const std::vector<std::pair<Row, std::vector<Trial>>>& all) {
    fmt::print(
        "\nmedian / worst over seeds. over greedy: score less that of the greedy cut, %, where that is "
        "legal; below CBC: optimum less score, %\n");
    fmt::print("{:7} {:>17} {:>17} {:>15} {:>12} {:>17} {:>17}\n", "job", "wall s", "CPU s", "gap %",
               "greedy legal", "over greedy %", "below CBC %");
    for (const auto& [row, trials] : all) {
        auto wall = each(trials, [](const Trial& t) { return std::optional(t.solver.wall_s); });
        auto cpu = each(trials, [](const Trial& t) { return std::optional(t.solver.cpu_s); });
        auto gap = each(trials, [](const Trial& t) {
            return t.solver.plan ? std::optional(100 * t.solver.plan->gap()) : std::nullopt;
        });
        auto over = each(trials, [](const Trial& t) {
            bool both = t.solver.plan && t.greedy.plan && t.greedy.breaches == 0;
            return both ? std::optional(100 * (t.solver.plan->score / t.greedy.plan->score - 1))
                        : std::nullopt;
        });
        auto below = each(trials, [](const Trial& t) {
            bool both = t.solver.plan && t.optimum.points;
            return both ? std::optional(below_percent(t.solver.plan->score, *t.optimum.points))
                        : std::nullopt;
        });
        auto legal = std::count_if(trials.begin(), trials.end(),
                                   [](const Trial& t) { return t.greedy.plan && t.greedy.breaches == 0; });
        fmt::print("{:7} {:>17} {:>17} {:>15} {:>12} {:>17} {:>17}\n", row.name, spread(wall, 2),
                   spread(cpu, 2), spread(gap, 2), fmt::format("{} of {}", legal, trials.size()),
                   spread(over, 1, true), spread(below, 4));
    }
    fmt::print("\nsolved again, median / worst. kept: shots of the first cut that are in the second, % (in "
               "place: on the same beat)\n");
    fmt::print("{:7} {:>21} {:>21} {:>17} {:>25}\n", "job", "kept, accent x 1.1", "kept in place", "wall s",
               "wall s, longest shot x 7/8");
    for (const auto& [row, trials] : all) {
        auto share = [&](double Trial::*which) {
            return each(trials, [&](const Trial& t) {
                bool both = t.solver.plan && t.nudged.plan;
                return both ? std::optional(100 * t.*which) : std::nullopt;
            });
        };
        auto nudged = each(trials, [](const Trial& t) { return std::optional(t.nudged.wall_s); });
        auto limited = each(trials, [](const Trial& t) { return std::optional(t.limited.wall_s); });
        fmt::print("{:7} {:>21} {:>21} {:>17} {:>25}\n", row.name, spread(share(&Trial::kept), 0, true),
                   spread(share(&Trial::kept_in_place), 0, true), spread(nudged, 2), spread(limited, 2));
    }
}

} // namespace downball::bench
