// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
// Processor time of the contact finder per second of clip, decoding apart. The same clips each time, so that
// instruction counts can be compared: DEVELOPERS.md tells how. With --list, every candidate is printed instead.
#include "support/clip_synth.h"

#include "downball/impacts/impact_finder.h"

#include <algorithm>
#include <cstdlib>
#include <ctime>
#include <fmt/core.h>
#include <string_view>

using namespace downball;

namespace {

// Seeds whose clips are 48 kHz stereo.
struct Chosen {
    test::Split split;
    std::uint64_t seed;
};
constexpr std::array<Chosen, 3> chosen{
    {{test::Split::beach, 2}, {test::Split::party, 1}, {test::Split::hard, 2}}};

double cpu_s() {
    return static_cast<double>(std::clock()) / CLOCKS_PER_SEC;
}

Hearing hear(const test::MixedClip& clip) {
    impacts::ImpactFinder finder(clip.rate_hz, static_cast<int>(clip.channels.size()), {.floor = 0});
    const std::size_t length = clip.channels[0].size();
    std::vector<const float*> block(clip.channels.size());
    for (std::size_t at = 0; at < length; at += 4096) {
        for (std::size_t c = 0; c < block.size(); ++c)
            block[c] = clip.channels[c].data() + at;
        if (!finder.push({block, std::min<std::size_t>(4096, length - at)})) std::abort();
    }
    return finder.finish().value();
}

} // namespace

int main(int argc, char** argv) {
    constexpr double each_s = 20;
    const bool list = argc > 1 && std::string_view(argv[1]) == "--list";
    double all = 0;
    for (const Chosen& kind : chosen) {
        const test::MixedClip clip = test::mixed_clip(kind.split, kind.seed, each_s);
        const double start = cpu_s();
        const Hearing found = hear(clip);
        const double took = cpu_s() - start;
        all += took;
        if (list) {
            for (const Heard& c : found.contacts)
                fmt::print("{} {:.9f} {:.7f} {:.7f}\n", name_of(kind.split), c.sound_s, c.confidence,
                           c.strength);
        } else {
            fmt::print("{:6} {} Hz, {} channels: {:5.2f} ms a second, {} candidates\n", name_of(kind.split),
                       clip.rate_hz, clip.channels.size(), 1000 * took / each_s, found.contacts.size());
        }
    }
    if (!list) fmt::print("all {:5.2f} ms a second\n", 1000 * all / (each_s * chosen.size()));
}
