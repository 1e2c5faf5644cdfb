// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
// How long it takes to write the lists of a long cut and to read them back: processor time of the best of five runs.
//   lists_bench [SHOTS]       10,000 unless said otherwise, each with natural sound, and the song
#include "support/hand_cut.h"

#include "downball/read/cut_list.h"
#include "downball/read/table.h"
#include "downball/write/edl.h"
#include "downball/write/otio.h"

#include <algorithm>
#include <cstdlib>
#include <ctime>
#include <fmt/format.h>
#include <functional>
#include <string>
#include <vector>

using namespace downball;

namespace {

double best_s(const std::function<void()>& work) {
    double best = 1e9;
    for (int run = 0; run < 5; ++run) {
        const std::clock_t begin = std::clock();
        work();
        best = std::min(best, static_cast<double>(std::clock() - begin) / CLOCKS_PER_SEC);
    }
    return best;
}

Timeline cut_of(std::size_t shots) {
    const Frame an_hour{90000};
    Timeline cut = test::long_cut(shots, 25, Rate(25), Counting::non_drop, an_hour);
    cut.natural.clear();
    for (VideoEvent& event : cut.video) {
        event.contacts = {{event.record.in + Frame{5}, "attack " + event.shot + "#1480"}};
        cut.natural.push_back({*event.media, event.record, event.source, event.shot, 2});
    }
    return cut;
}

void row(const char* what, std::size_t bytes, double seconds) {
    fmt::print("{:28} {:8.2f} MB {:8.3f} s\n", what, static_cast<double>(bytes) / 1e6, seconds);
}

} // namespace

int main(int argc, char** argv) {
    const std::size_t shots = argc > 1 ? std::strtoul(argv[1], nullptr, 10) : 10'000;
    const Timeline cut = cut_of(shots);
    std::vector<std::string> edls;
    std::string otio, table;
    read::CutList list;
    std::size_t bytes = 0, breaches = 0;

    const double write_edl_s = best_s([&] { edls = *write::edl(cut); });
    const double write_otio_s = best_s([&] {
        otio = *write::otio(cut, {.folder = "/shoot/out", .absolute_urls = false, .media_root = {}});
    });
    const double read_edl_s = best_s([&] {
        breaches = 0;
        for (const auto& edl : edls)
            breaches += read::edl(edl, "cut.edl", cut.rate)->breaches.size();
    });
    const double read_otio_s = best_s([&] { list = *read::otio(otio, "cut.otio"); });
    const double table_s = best_s([&] { table = read::table(list); });
    for (const auto& edl : edls)
        bytes += edl.size();

    fmt::print("{} shots, {} EDLs\n", shots, edls.size());
    row("write EDL", bytes, write_edl_s);
    row("write OTIO", otio.size(), write_otio_s);
    row("read EDL", bytes, read_edl_s);
    row("read OTIO", otio.size(), read_otio_s);
    row("table", table.size(), table_s);
    row("written and read", bytes + otio.size(), write_edl_s + write_otio_s + read_edl_s + read_otio_s);
    fmt::print("{} breaches\n", breaches + list.breaches.size());
    return breaches + list.breaches.size() > 0;
}
