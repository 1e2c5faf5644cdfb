// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/split_recordings.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <string>

namespace downball::pipeline {
namespace {

bool one_format(const MediaInfo& a, const MediaInfo& b) {
    return a.has_video && b.has_video && a.width == b.width && a.height == b.height && a.rate == b.rate &&
           a.device == b.device && a.audio.has_value() == b.audio.has_value();
}

bool goes_on(const MediaInfo& file, const clocks::Recording& one, const clocks::Recording& next) {
    constexpr double fine_s = 0.05;
    constexpr double near_limit =
        0.98 * 2147483648.0; // of FAT with signed sizes; 4 GiB and more are beyond it
    if (!one.began || !next.began) return false;
    const double step_s = std::max(one.began->step_s, next.began->step_s);
    const double gap_s = next.began->at_s - one.began->at_s - one.real_s;
    // Clocks may tell finer than frames, but nothing stops within one.
    const double frame_s = file.average_fps > 0 ? one.real_s / file.duration_s / file.average_fps : 0;
    if (step_s <= fine_s) return std::abs(gap_s) <= 1.5 * std::max(step_s, frame_s);
    return std::abs(gap_s) <= step_s + 0.1 && static_cast<double>(file.bytes) >= near_limit;
}

} // namespace

std::vector<std::pair<std::size_t, std::size_t>> find_splits(std::span<const DayClip> clips,
                                                             std::span<const clocks::Recording> recordings) {
    std::map<std::string, std::vector<std::size_t>> cameras;
    for (std::size_t i = 0; i < clips.size(); ++i)
        cameras[clips[i].camera].push_back(i);
    std::vector<std::pair<std::size_t, std::size_t>> splits;
    for (auto& [camera, members] : cameras) {
        std::ranges::stable_sort(members, {}, [&](std::size_t i) { return clips[i].media->path; });
        for (std::size_t n = 0; n + 1 < members.size(); ++n)
            if (one_format(*clips[members[n]].media, *clips[members[n + 1]].media) &&
                goes_on(*clips[members[n]].media, recordings[members[n]], recordings[members[n + 1]]))
                splits.emplace_back(members[n], members[n + 1]);
    }
    return splits;
}

} // namespace downball::pipeline
