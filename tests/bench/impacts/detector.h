// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "support/clip_synth.h"

#include "downball/impacts/impact_finder.h"

#include <cstdlib>
#include <ctime>
#include <functional>
#include <string>
#include <vector>

namespace downball::bench {

using Found = std::vector<Heard>; // in order; one that knows no confidence says 1

struct Detector {
    std::string name;
    std::function<Found(const test::MixedClip&)> find;
};

// Of this thread alone, so that clips can be judged two at a time.
inline double cpu_s() {
    timespec now{};
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &now);
    return static_cast<double>(now.tv_sec) + 1e-9 * static_cast<double>(now.tv_nsec);
}

// Every candidate with its confidence.
inline Found ours(const test::MixedClip& clip) {
    impacts::ImpactFinder finder(clip.rate_hz, static_cast<int>(clip.channels.size()), {.floor = 0});
    std::vector<const float*> channels;
    constexpr std::size_t step = 4096;
    const std::size_t length = clip.channels[0].size();
    for (std::size_t at = 0; at < length; at += step) {
        channels.clear();
        for (const auto& c : clip.channels)
            channels.push_back(c.data() + at);
        if (!finder.push({channels, std::min(step, length - at)})) std::abort();
    }
    return finder.finish().value().contacts;
}

// Hears nothing: what a score is worth that anything gets.
inline Found regular(const test::MixedClip& clip) {
    Found found;
    for (double t = 0.5; t < clip.seconds(); t += 1.2)
        found.push_back({t, 1, 1});
    return found;
}

} // namespace downball::bench
