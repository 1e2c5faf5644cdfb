// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/impacts/tables.h"

#include <cstdio>

namespace downball::bench {

namespace {

// What a listener made of each material, and of all of them.
struct Row {
    std::string name, note;
    std::vector<Tally> all, empty;
};

void print_row(const Row& row) {
    std::printf("  %-10s", row.name.c_str());
    Tally total, total_empty;
    for (std::size_t m = 0; m < row.all.size(); ++m) {
        std::printf("  %.3f %6.1f", row.all[m].f(0), row.empty[m].false_a_minute());
        total += row.all[m];
        total_empty += row.empty[m];
    }
    std::printf("    %.3f  %.3f  %.3f  %.3f  %.3f  %+5.1f  %4.1f  %6.1f %6.1f  %5.2f  %s\n", total.f(0),
                total.f(1), total.f(2), total.precision(), total.recall(), 1000 * total.bias_s(),
                1000 * total.error_s(), total.false_a_minute(), total_empty.false_a_minute(),
                1000 * total.cpu_s / total.seconds, row.note.c_str());
}

Row row_of(const std::vector<Trial>& trials, const std::string& listener,
           const std::vector<Material>& materials) {
    Row row{listener, {}, {}, {}};
    for (const Material& m : materials) {
        row.all.push_back(sum(tallies(trials, listener, every_split(m))));
        row.empty.push_back(sum(tallies(trials, listener, one_split(m, test::Split::empty))));
    }
    return row;
}

Tally swept(const std::vector<Trial>& trials, const std::string& method, std::size_t threshold,
            const Which& which) {
    Tally total;
    for (const Trial& t : trials)
        if (which(t)) total += t.swept.at(method)[threshold];
    return total;
}

// The threshold that serves this very material best.
std::size_t best_threshold(const std::vector<Trial>& trials, const std::string& method, const Which& which) {
    std::size_t best = 0;
    double most = -1;
    for (std::size_t i = 0; i < thresholds.size(); ++i) {
        const double f = swept(trials, method, i, which).f(0);
        if (f > most) {
            most = f;
            best = i;
        }
    }
    return best;
}

Row best_row(const std::vector<Trial>& trials, const std::string& method,
             const std::vector<Material>& materials) {
    Row row{method + "*", {}, {}, {}};
    for (const Material& m : materials) {
        const std::size_t best = best_threshold(trials, method, every_split(m));
        row.all.push_back(swept(trials, method, best, every_split(m)));
        row.empty.push_back(swept(trials, method, best, one_split(m, test::Split::empty)));
        std::array<char, 16> text{};
        std::snprintf(text.data(), text.size(), "%s%.2g", row.note.empty() ? "" : " ",
                      static_cast<double>(thresholds[best]));
        row.note += text.data();
    }
    return row;
}

} // namespace

void print_peers(const std::vector<Trial>& trials, const std::vector<Material>& materials) {
    std::printf("  %-10s", "");
    for (const Material& m : materials)
        std::printf("  %-12.12s", m.name.c_str());
    std::printf("    all of them\n  %-10s", "listener");
    for (std::size_t i = 0; i < materials.size(); ++i)
        std::printf("    F50  empty");
    std::printf("      F50    F20    F10      P      R   bias |err|   false  empty    cpu  thresholds\n");
    for (const Detector& d : detectors())
        print_row(row_of(trials, d.name, materials));
    for (const char* method : onset_methods)
        print_row(row_of(trials, method, materials));
    for (const char* method : onset_methods)
        print_row(best_row(trials, method, materials));
}

} // namespace downball::bench
