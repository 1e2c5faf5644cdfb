// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
// What each stage of a job costs: processor and wall time per minute of its material, in one run.
//   stages_bench JOB       e.g. stages_bench samples/out
// The ratio to the first row, decoding the clips' sound alone, is what can be compared between machines.
#include "pipeline/gather.h"
#include "pipeline/review.h"
#include "pipeline/song_event.h"

#include "downball/analysis/listen.h"
#include "downball/impacts/impact_finder.h"
#include "downball/media/audio_reader.h"
#include "downball/media/probe.h"
#include "downball/solve/last_cut.h"
#include "downball/solve/left_out.h"
#include "downball/solve/solve.h"
#include "downball/timeline/build.h"
#include "downball/write/edl.h"
#include "downball/write/otio.h"
#include "downball/write/report.h"

#include <chrono>
#include <cstdio>
#include <ctime>
#include <filesystem>
#include <fmt/format.h>
#include <functional>

using namespace downball;

namespace {

struct Cost {
    double cpu_s = 0;
    double wall_s = 0;
};

Cost cost_of(const std::function<void()>& work) {
    const auto wall = std::chrono::steady_clock::now();
    const std::clock_t cpu = std::clock();
    work();
    const std::chrono::duration<double> passed = std::chrono::steady_clock::now() - wall;
    return {static_cast<double>(std::clock() - cpu) / CLOCKS_PER_SEC, passed.count()};
}

double first_row_s = 0;

void row(const char* stage, const char* material, double minutes, const Cost& cost) {
    const double per_minute = cost.cpu_s / minutes;
    if (first_row_s == 0) first_row_s = per_minute;
    fmt::print("{:32} {:>16} {:8.2f} {:12.4f} {:12.4f} {:8.2f}\n", stage, material, minutes, per_minute,
               cost.wall_s / minutes, per_minute / first_row_s);
}

void decode(const std::string& path) {
    auto reader = media::AudioReader::open(path);
    while (reader) {
        const auto block = reader->read();
        if (!block || block->frames == 0) return;
    }
}

// The song's own file, as `problem` was solved to it.
pipeline::SongToCutTo own_song(const pipeline::Material& material) {
    return {material.beats, 0, std::nullopt, {}};
}

// Lists, page and song of a cut, none of them written to disk; the bytes of the lists.
std::size_t write_cut(const pipeline::Material& material, const solve::Problem& problem, const CutPlan& plan,
                      double minutes) {
    const auto folder = std::filesystem::current_path().string();
    std::size_t bytes = 0;
    Timeline timeline;
    row("lay out and write the lists", "cut", minutes, cost_of([&] {
            timeline::BuildOptions options;
            options.folder = folder;
            auto built = timeline::build(
                {plan, material.beats, material.log, material.job.limits, material.song}, options);
            if (!built) return;
            timeline = std::move(*built);
            if (const auto lists = write::edl(timeline)) bytes += lists->front().size();
            write::OtioOptions otio;
            otio.folder = folder;
            if (const auto text = write::otio(timeline, otio)) bytes += text->size();
        }));
    analysis::Folder nothing_kept;
    const auto song = own_song(material);
    const auto last = solve::as_last_cut(problem, plan);
    std::vector<solve::LeftOut> left_out;
    row("say why takes were left out", "cut", minutes,
        cost_of([&] { left_out = solve::left_out(problem, plan); }));
    row("page, its pictures decoded", "cut", minutes, cost_of([&] {
            (void)pipeline::make_review(
                {material, nothing_kept, song, nullptr, plan, last, timeline, left_out, {}, ""}, true, {});
        }));
    row("cut the song to length", "cut", minutes, cost_of([&] {
            if (const auto chosen = pipeline::choose_song(material, pipeline::SongEvent::cut);
                chosen && chosen->cut)
                (void)pipeline::make_song_file(material, *chosen->cut, plan.length, nothing_kept, {});
        }));
    return bytes;
}

} // namespace

int main(int argc, char** argv) {
    if (argc != 2) {
        fmt::print(stderr, "usage: stages_bench JOB\n");
        return 2;
    }
    auto told = pipeline::load_job(argv[1]);
    if (!told) {
        fmt::print(stderr, "{}\n", to_string(told.error()));
        return 3;
    }
    analysis::Folder nothing_kept;
    const auto gathered = pipeline::gather(std::move(*told), nothing_kept, {});
    if (!gathered) {
        fmt::print(stderr, "{}\n", to_string(gathered.error()));
        return 3;
    }
    const auto& [job, song, beats, log] = *gathered;
    double clips_min = 0;
    for (const auto& media : log.media)
        if (media.audio) clips_min += media.duration_s / 60;
    const double song_min = song.duration_s / 60;

    fmt::print("{:32} {:>16} {:>8} {:>12} {:>12} {:>8}\n", "stage", "material", "minutes", "cpu s/min",
               "wall s/min", "ratio");
    row("decode the clips' sound", "clips", clips_min, cost_of([&log = log] {
            for (const auto& media : log.media)
                if (media.audio) decode(media.path);
        }));
    row("probe", "clips", clips_min, cost_of([&log = log] {
            for (const auto& media : log.media)
                (void)media::probe(media.path);
        }));
    row("decode and find contacts", "clips", clips_min, cost_of([&log = log] {
            for (const auto& media : log.media)
                if (media.audio) (void)analysis::find_contacts(media.path, impacts::default_floor);
        }));
    row("decode and find beats", "song", song_min,
        cost_of([&song = song] { (void)analysis::find_beats(song.path); }));

    const solve::Problem problem{beats, log, job.limits, 0};
    solve::Outcome outcome;
    const Cost solving = cost_of([&] { outcome = solve::solve(problem); });
    const auto* plan = std::get_if<CutPlan>(&outcome);
    if (!plan) {
        fmt::print("no cut satisfies the limits of this job\n");
        return 4;
    }
    const double cut_min = to_seconds(plan->length, job.limits.delivery.rate) / 60;
    row("solve", "cut", cut_min, solving);
    row("judge the cut", "cut", cut_min, cost_of([&] { (void)solve::check(problem, *plan); }));
    const auto bytes = write_cut(*gathered, problem, *plan, cut_min);
    fmt::print("{} shots from {} takes, gap {:.1f} %, {} bytes of lists\n", plan->shots.size(),
               log.takes.size(), 100 * plan->gap(), bytes);
    return 0;
}
