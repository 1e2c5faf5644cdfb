// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/impacts/tables.h"

#include <cstdio>

namespace downball::bench {

namespace {

using test::Split;

void print_score(const std::string& balls, const char* split, const std::vector<const Tally*>& of) {
    const Tally t = sum(of);
    std::printf("  %-11s%-5s", balls.c_str(), split);
    if (t.truth)
        std::printf("  %.3f +-%.3f  %.3f  %.3f  %.3f  %.3f  %.3f  %+6.2f  %5.2f", t.f(0), f_error(of), t.f(1),
                    t.f(2), t.precision(), t.recall(), t.average_precision(), 1000 * t.bias_s(),
                    1000 * t.error_s());
    else
        std::printf("%66s", "");
    std::printf("  %9.2f", t.false_a_minute());
    if (t.truth)
        std::printf("  %.3f  %.3f", t.hard().value(), t.soft().value());
    else
        std::printf("%14s", "");
    std::printf("  %5.2f", 1000 * t.cpu_s / t.seconds);
    if (t.stereo_seconds > 0) std::printf("  %6.2f", 1000 * t.stereo_cpu_s / t.stereo_seconds);
    std::printf("\n");
}

} // namespace

std::vector<const Tally*> tallies(const std::vector<Trial>& trials, const std::string& listener,
                                  const Which& which) {
    std::vector<const Tally*> out;
    for (const Trial& t : trials)
        if (which(t)) out.push_back(&t.of.at(listener));
    return out;
}

Which every_split(const Material& material) {
    return [&](const Trial& t) { return t.material == &material; };
}

Which one_split(const Material& material, Split split) {
    return [&material, split](const Trial& t) { return t.material == &material && t.split == split; };
}

Which kind(bool seen) {
    return [seen](const Trial& t) { return t.material->seen == seen; };
}

void print_scores(const std::vector<Trial>& trials, const std::vector<const Material*>& materials) {
    std::printf(
        "  %-11s%-5s    F50    err    F20    F10      P      R     AP    bias  |err|  false/min   hard   "
        "soft    cpu  stereo\n",
        "balls", "split");
    for (const Material* m : materials) {
        for (const Split split : test::all_splits)
            print_score(m->name, test::name_of(split), tallies(trials, "downball", one_split(*m, split)));
        print_score(m->name, "all", tallies(trials, "downball", every_split(*m)));
    }
}

bool write_figures(const std::string& path, const std::vector<Trial>& trials, const Plan& plan) {
    FILE* file = std::fopen(path.c_str(), "w");
    if (!file) return false;
    const auto line = [&](const Material& m, const char* split, const Which& which) {
        const Tally t = sum(tallies(trials, "downball", which));
        std::fprintf(file, "%s\t%s\t%.4f\t%.4f\t%.4f", m.name.c_str(), split, t.f(0), t.f(1), t.f(2));
        for (const Share& share : t.by_skill)
            std::fprintf(file, "\t%.4f", share.value());
        std::fprintf(file, "\n");
    };
    std::fprintf(file, "material\tsplit\tf50\tf20\tf10");
    for (std::size_t s = 0; s < skill_count; ++s)
        std::fprintf(file, "\t%s", std::string(to_string(static_cast<Skill>(s))).c_str());
    std::fprintf(file, "\n");
    for (const Material& m : plan.materials) {
        for (const Split split : test::all_splits)
            line(m, test::name_of(split), one_split(m, split));
        line(m, "all", every_split(m));
    }
    return std::fclose(file) == 0;
}

} // namespace downball::bench
