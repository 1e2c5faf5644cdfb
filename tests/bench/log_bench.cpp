// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
// How long it takes to read a long log, to bring it up to date and to write it: processor time of the best of three runs.
//   log_bench [ROWS...]       1,000, 10,000 and 100,000 unless said otherwise
#include "downball/shotlog/log.h"

#include <algorithm>
#include <cstdlib>
#include <ctime>
#include <fmt/format.h>
#include <functional>
#include <string>
#include <vector>

using namespace downball;
using namespace downball::shotlog;

namespace {

double best_s(const std::function<void()>& work) {
    double best = 1e9;
    for (int run = 0; run < 3; ++run) {
        const std::clock_t begin = std::clock();
        work();
        best = std::min(best, static_cast<double>(std::clock() - begin) / CLOCKS_PER_SEC);
    }
    return best;
}

FoundClip clip(std::size_t number) {
    FoundClip clip{
        fmt::format("cards/{}/DCIM/100CAMRA/C_{:06}.mp4", "ABC"[number % 3], number), {}, Hearing{}};
    clip.media.has_video = true;
    clip.media.duration_s = 12.48;
    clip.media.bytes = 100'000'000 + number;
    clip.media.audio = AudioInfo{48000, 2, 0, 12.48};
    for (int i = 0; i < 8; ++i)
        clip.hearing->contacts.push_back({0.5 + 1.25 * i, 0.93, 0.5});
    return clip;
}

struct Figures {
    double read_csv_s, read_log_s, merge_s, write_s;
    std::size_t bytes;
    double all_s() const { return read_csv_s + read_log_s + merge_s + write_s; }
};

// A tagged log of so many rows, to which a tenth more clips come.
Figures measure(std::size_t rows) {
    std::vector<FoundClip> clips;
    for (std::size_t i = 0; i < rows; ++i)
        clips.push_back(clip(i));
    text::CsvTable table = merge(new_table(), clips).table;
    const text::Columns column(table);
    for (auto& row : table.rows) {
        row[static_cast<std::size_t>(column("players"))] = "A1 B2";
        row[static_cast<std::size_t>(column("skills"))] = "set attack";
        row[static_cast<std::size_t>(column("note"))] = "good, \"high\"";
    }
    const std::string written = text::write_csv(table);
    for (std::size_t i = 0; i < rows / 10; ++i)
        clips.push_back(clip(rows + i));

    Figures figures{};
    figures.bytes = written.size();
    Merged merged;
    std::string again;
    figures.read_csv_s = best_s([&] { table = *text::read_csv(written, "log.csv"); });
    figures.read_log_s = best_s([&] { (void)read_log(written, "log.csv", {})->rows.size(); });
    figures.merge_s = best_s([&] { merged = merge(table, clips); });
    figures.write_s = best_s([&] { again = text::write_csv(merged.table); });
    return figures;
}

} // namespace

int main(int argc, char** argv) {
    std::vector<std::size_t> sizes;
    for (int i = 1; i < argc; ++i)
        sizes.push_back(std::strtoul(argv[i], nullptr, 10));
    if (sizes.empty()) sizes = {1'000, 10'000, 100'000};
    fmt::print("{:>8} {:>8} {:>11} {:>11} {:>9} {:>9} {:>9} {:>7}\n", "rows", "MB", "read_csv s",
               "read_log s", "merge s", "write s", "all s", "ratio");
    double before_s = 0;
    for (const std::size_t rows : sizes) {
        const Figures it = measure(rows);
        fmt::print("{:8} {:8.2f} {:11.4f} {:11.4f} {:9.4f} {:9.4f} {:9.4f} {:>7}\n", rows,
                   static_cast<double>(it.bytes) / 1e6, it.read_csv_s, it.read_log_s, it.merge_s, it.write_s,
                   it.all_s(), before_s > 0 ? fmt::format("{:.1f}", it.all_s() / before_s) : "");
        before_s = it.all_s();
    }
}
