// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
// How long a preview of 60 s takes, of clips of 1920 x 1080 at 50 frames a second, and how long the ffmpeg program takes
// for the same trims, scaled, joined and coded the same way; and two stills in each of 60 shots.
//   preview_bench FOLDER [ROUNDS]       FOLDER holds the clips; they are made there, in some minutes, if they are missing
#include "downball/preview/preview.h"
#include "downball/preview/stills.h"

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fmt/format.h>
#include <functional>
#include <sys/resource.h>

using namespace downball;
namespace fs = std::filesystem;

namespace {

constexpr int clips = 6, clip_s = 12, shots = 40;
constexpr std::int64_t shot_frames = 1500 / shots; // of 25 a second: 1.48 s

struct Cost {
    double cpu_s = 0, wall_s = 0;
};

double spent_s(int who) {
    rusage usage{};
    getrusage(who, &usage);
    const auto in_s = [](timeval time) {
        return static_cast<double>(time.tv_sec) + 1e-6 * static_cast<double>(time.tv_usec);
    };
    return in_s(usage.ru_utime) + in_s(usage.ru_stime);
}

Cost cost_of(const std::function<void()>& work) {
    const auto all_s = [] { return spent_s(RUSAGE_SELF) + spent_s(RUSAGE_CHILDREN); };
    const auto wall = std::chrono::steady_clock::now();
    const double cpu = all_s();
    work();
    const std::chrono::duration<double> passed = std::chrono::steady_clock::now() - wall;
    return {all_s() - cpu, passed.count()};
}

void must(const std::string& command) {
    if (std::system(("ffmpeg -nostdin -v error -y " + command).c_str()) == 0) return;
    fmt::print(stderr, "failed: ffmpeg {}\n", command);
    std::exit(1);
}

// A clip at so many pictures a second.
std::string clip(const fs::path& folder, int fps, int number) {
    return (folder / fmt::format("clip{}_{}.mp4", fps, number)).string();
}

void make_sources(const fs::path& folder, int fps) {
    fs::create_directories(folder);
    for (int number = 0; number < clips; ++number)
        if (!fs::exists(clip(folder, fps, number)))
            must(fmt::format(
                "-f lavfi -i testsrc2=s=1920x1080:r={3}:d={0} -f lavfi -i "
                "anoisesrc=d={0}:r=48000:a=0.05:seed={1} "
                "-vf noise=alls=8:allf=t:all_seed={1} -c:v libx264 -preset veryfast -crf 23 -g {3} -pix_fmt "
                "yuv420p -c:a aac '{2}'",
                clip_s, number, clip(folder, fps, number), fps));
    if (!fs::exists(folder / "song.wav"))
        must(fmt::format("-f lavfi -i anoisesrc=c=pink:d=60:r=48000:a=0.3 -ac 2 '{}'",
                         (folder / "song.wav").string()));
}

std::int64_t first_frame(int shot) {
    return 20 + shot / clips * 35; // where in its clip, list frames
}

Timeline reel(const fs::path& folder, int fps) {
    Timeline timeline;
    timeline.rate = Rate(25);
    timeline.length = Frame{shots * shot_frames};
    for (int number = 0; number <= clips; ++number) {
        TimelineMedia media;
        media.path = number < clips ? clip(folder, fps, number) : (folder / "song.wav").string();
        media.name = fs::path(media.path).filename().string();
        if (number < clips) media.rate = Rate(fps);
        timeline.media.push_back(media);
    }
    for (int shot = 0; shot < shots; ++shot) {
        VideoEvent event;
        event.media = static_cast<std::size_t>(shot % clips);
        event.record = {Frame{shot * shot_frames}, Frame{(shot + 1) * shot_frames}};
        event.source = {Frame{first_frame(shot)}, Frame{first_frame(shot) + shot_frames}};
        timeline.video.push_back(event);
        timeline.natural.push_back({*event.media, event.record, event.source, "", 2});
    }
    timeline.song = {
        {static_cast<std::size_t>(clips), {Frame{0}, timeline.length}, {Frame{0}, timeline.length}, "", 0}};
    return timeline;
}

// The same pictures, the song alone.
std::string by_ffmpeg(const fs::path& folder, int fps, const std::string& to) {
    std::string inputs, filters, joined;
    for (int shot = 0; shot < shots; ++shot) {
        inputs += fmt::format("-ss {} -t {} -i '{}' ", static_cast<double>(first_frame(shot)) / 25,
                              static_cast<double>(shot_frames) / 25, clip(folder, fps, shot % clips));
        filters += fmt::format("[{0}:v]fps=25,scale=640:360:flags=bilinear[v{0}];", shot);
        joined += fmt::format("[v{}]", shot);
    }
    return fmt::format(
        "{}-i '{}' -filter_complex '{}{}concat=n={}:v=1:a=0[v]' -map '[v]' -map {}:a -c:v libx264 -preset "
        "superfast -crf 23 -g 25 -c:a aac -b:a 192k -t {} -movflags +faststart '{}'",
        inputs, (folder / "song.wav").string(), filters, joined, shots, shots,
        static_cast<double>(shots * shot_frames) / 25, to);
}

// Two stills in each of so many shots.
void time_stills(const fs::path& folder, int fps) {
    constexpr int stills_shots = 60;
    auto timeline = reel(folder, fps);
    timeline.video.resize(stills_shots, timeline.video.front());
    std::vector<Frame> wanted;
    for (int shot = 0; shot < stills_shots; ++shot) {
        constexpr std::int64_t length = 25;
        auto& event = timeline.video[static_cast<std::size_t>(shot)];
        event.media = static_cast<std::size_t>(shot % clips);
        event.record = {Frame{shot * length}, Frame{(shot + 1) * length}};
        event.source = {Frame{10 + shot / clips * 26}, Frame{10 + shot / clips * 26 + length}};
        wanted.push_back(event.record.in);
        wanted.push_back(event.record.in + Frame{13});
    }
    std::size_t bytes = 0;
    const auto cost = cost_of([&] {
        const auto made = preview::stills(timeline, wanted);
        if (!made) fmt::print(stderr, "{}\n", to_string(made.error()));
        for (const auto& [frame, jpeg] : made->pictures)
            bytes += jpeg.size();
    });
    fmt::print("{} stills of {} shots: {:.2f} s, cpu {:.2f} s, {} bytes each\n", wanted.size(), stills_shots,
               cost.wall_s, cost.cpu_s, bytes / wanted.size());
}

void time_previews(const fs::path& folder, int fps, int rounds) {
    fmt::print("1080p at {} pictures a second\n", fps);
    make_sources(folder, fps);
    time_stills(folder, fps);
    const auto timeline = reel(folder, fps);
    const double length_s = to_seconds(timeline.length, timeline.rate);
    fmt::print("{:8} {:>22} {:>22} {:>12}\n", "", "preview wall s, cpu s", "ffmpeg wall s, cpu s", "ratio");
    Cost best_ours{1e9, 1e9}, best_theirs{1e9, 1e9};
    const auto keep = [](Cost& best, const Cost& cost) {
        best = {std::min(best.cpu_s, cost.cpu_s), std::min(best.wall_s, cost.wall_s)};
    };
    const auto line = [](const std::string& name, const Cost& ours, const Cost& theirs) {
        fmt::print("{:8} {:>14.2f} {:>7.2f} {:>14.2f} {:>7.2f} {:>12.2f}\n", name, ours.wall_s, ours.cpu_s,
                   theirs.wall_s, theirs.cpu_s, ours.wall_s / theirs.wall_s);
    };
    for (int round = 1; round <= rounds; ++round) {
        const auto ours = cost_of([&] {
            const auto made = preview::make_preview(timeline, (folder / "preview.mp4").string());
            if (!made) fmt::print(stderr, "{}\n", to_string(made.error()));
        });
        const auto theirs = cost_of([&] { must(by_ffmpeg(folder, fps, (folder / "ffmpeg.mp4").string())); });
        line(fmt::format("round {}", round), ours, theirs);
        keep(best_ours, ours);
        keep(best_theirs, theirs);
    }
    line("best", best_ours, best_theirs);
    fmt::print("{:.1f} times real time, ffmpeg {:.1f}\n", length_s / best_ours.wall_s,
               length_s / best_theirs.wall_s);
}

} // namespace

int main(int argc, char** argv) {
    if (argc < 2) {
        fmt::print(stderr, "usage: preview_bench FOLDER [ROUNDS]\n");
        return 2;
    }
    std::setvbuf(stdout, nullptr, _IOLBF, 0); // lines come as they are measured
    const fs::path folder = argv[1];
    const int rounds = argc > 2 ? std::max(1, std::atoi(argv[2])) : 3;
    for (const int fps : {25, 50})
        time_previews(folder, fps, rounds);
    return 0;
}
