// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later

// How often the offset of two cameras' clocks is found right, beside what the finder says of itself, on generated days; and
// how long a long day takes.
#include "support/camera_day.h"

#include <chrono>
#include <fmt/format.h>

using namespace downball;

namespace {

struct Tally {
    int cases = 0, right = 0;
    double said = 0;
};

struct Case {
    double confidence = 0;
    bool right = false;
    std::size_t rallies = 0;
};

Case one_day(std::uint64_t seed, double step_s) {
    SplitMix64 random(seed * 977 + 5);
    const auto between = [&](double low, double high) { return low + (high - low) * random.unit(); };
    const int rallies = static_cast<int>(between(4, 90));
    test::CameraSetting a{.name = "A"}, b{.name = "B"};
    a.share = between(0.5, 1);
    b.share = between(0.02, 0.6);
    a.step_s = b.step_s = step_s;
    a.hears = between(0.5, 0.95);
    b.hears = between(0.5, 0.95);
    b.offset_s = random.chance(0.5) ? between(-60, 60) : between(-50000, 50000);
    b.drift_ppm = between(-40, 40);
    const auto day = test::film_day(seed, rallies, {a, b});
    const auto clock = clocks::set_day_clock(day.recordings, {{"A", 0}});
    const auto found = clock.cameras.find("B");
    if (found == clock.cameras.end()) return {};
    double worst_s = 0;
    for (std::size_t i = 0; i < day.recordings.size(); ++i)
        if (day.recordings[i].camera == "B")
            worst_s =
                std::max(worst_s, std::abs(*clocks::day_seconds(clock, day.recordings[i]) - day.began_s[i]));
    return {found->second.confidence, worst_s < step_s + 0.5, found->second.rallies};
}

void reliability(double step_s, std::uint64_t from, std::uint64_t to) {
    Tally bins[10];
    for (std::uint64_t seed = from; seed < to; ++seed) {
        const Case one = one_day(seed, step_s);
        Tally& bin = bins[std::min(9, static_cast<int>(one.confidence * 10))];
        ++bin.cases;
        bin.right += one.right;
        bin.said += one.confidence;
    }
    fmt::print("clocks read to {:.2f} s, {} days: how sure it said it was, and how often it was right\n",
               step_s, to - from);
    for (const Tally& bin : bins)
        if (bin.cases > 0)
            fmt::print("  said {:.2f}  right {:.2f}  of {}\n", bin.said / bin.cases,
                       static_cast<double>(bin.right) / bin.cases, bin.cases);
}

void long_day(int rallies) {
    const auto day = test::film_day(1, rallies,
                                    {{.name = "A", .share = 1},
                                     {.name = "B", .share = 0.6, .offset_s = 3611, .drift_ppm = 20},
                                     {.name = "C", .share = 0.4, .offset_s = -17}});
    const auto begin = std::chrono::steady_clock::now();
    const auto clock = clocks::set_day_clock(day.recordings, {});
    const std::chrono::duration<double> took = std::chrono::steady_clock::now() - begin;
    fmt::print("{} recordings of 3 cameras: {:.2f} s\n", day.recordings.size(), took.count());
    for (const auto& [camera, offset] : clock.cameras)
        fmt::print("  {}: {:+.2f} s, {:+.0f} ppm, {} rallies, confidence {:.3f}\n", camera, offset.offset_s,
                   offset.drift_ppm, offset.rallies, offset.confidence);
}

} // namespace

int main(int argc, char** argv) {
    const auto days = static_cast<std::uint64_t>(argc > 1 ? std::atoi(argv[1]) : 300);
    for (const double step_s : {1.0, 0.04})
        reliability(step_s, 20000, 20000 + days);
    for (const int rallies : {100, 300, 1000})
        long_day(rallies);
    return 0;
}
