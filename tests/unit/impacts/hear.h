// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "support/clip_synth.h"

#include "downball/impacts/impact_finder.h"

#include <cmath>
#include <vector>

namespace downball::test {

inline Hearing hear(const Channels& channels, int rate_hz, std::size_t step = 4096,
                    const impacts::ImpactOptions& options = {}) {
    impacts::ImpactFinder finder(rate_hz, static_cast<int>(channels.size()), options);
    const std::size_t count = channels.empty() ? 0 : channels[0].size();
    for (std::size_t at = 0; at < count; at += step) {
        std::vector<const float*> from;
        for (const Signal& c : channels)
            from.push_back(c.data() + at);
        if (!finder.push({from, std::min(step, count - at)})) return {};
    }
    return finder.finish().value();
}

inline Channels scaled(Channels channels, float gain) {
    for (Signal& c : channels)
        for (float& x : c)
            x *= gain;
    return channels;
}

// Even noise with hits of one ball at known instants; the hit's energy over 40 ms stands `snr_db` above it.
struct Court {
    double rate = 48000;
    std::size_t channels = 1;
    double seconds = 6;
    double snr_db = 20;
    std::vector<double> hits{1.0, 2.3, 3.1, 4.4};
    std::vector<double> gains{};
};

inline Channels play(const Court& court, std::uint64_t seed = 3) {
    Dice dice(seed);
    Channels made(court.channels, Signal(samples_of(court.seconds, court.rate)));
    Dice ball(11);
    const Signal hit = ball_hit(ball, court.rate, BallFamily::modes, 150, 0.9);
    constexpr double bed = 0.003;
    for (std::size_t c = 0; c < made.size(); ++c) {
        for (float& x : made[c])
            x = static_cast<float>(bed * dice.noise());
        for (std::size_t i = 0; i < court.hits.size(); ++i)
            lay(made[c], hit, court.hits[i], court.rate,
                bed * gain_of_db(court.snr_db) * std::sqrt(0.04 * court.rate) *
                    (i < court.gains.size() ? court.gains[i] : 1));
    }
    return made;
}

} // namespace downball::test
