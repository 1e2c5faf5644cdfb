// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beats/hints.h"

#include "beats/beat_steps.h"
#include "beats/beat_times.h"

#include <algorithm>
#include <cmath>

namespace downball::beats {

namespace {

struct Place {
    long number = 0; // of the beat that stands nearest
    double off = 0;  // how far behind it
};

// Where an instant stands among two beats or more, counted on evenly before the first and behind the last.
Place place_of(const std::vector<double>& beats, double at) {
    const std::size_t n = beats.size(), i = nearest_beat(beats, at);
    Place out{static_cast<long>(i), at - beats[i]};
    if (at >= beats.front() && at <= beats.back()) return out;
    const double period = i == 0 ? beats[1] - beats[0] : beats[n - 1] - beats[n - 2];
    const long beyond = std::lround(out.off / period);
    return {out.number + beyond, out.off - static_cast<double>(beyond) * period};
}

} // namespace

BeatOptions tempo_range(const BeatOptions& options) {
    BeatOptions out = options;
    if (options.bpm) {
        out.slowest_bpm = *options.bpm / 1.06;
        out.fastest_bpm = *options.bpm * 1.06;
        out.favoured_bpm = *options.bpm;
    }
    return out;
}

void heed_downbeat(std::vector<Reading>& found, const BeatOptions& options, double frame_s) {
    if (!options.downbeat_s || found.empty()) return;
    constexpr double near_s = 0.07;
    const double said = *options.downbeat_s / frame_s;
    // Only among its own beats: counted on far enough, readings of any tempo would have a beat there.
    const auto fits = std::find_if(found.begin(), found.end(), [&](const Reading& r) {
        return std::abs(said - r.frames[nearest_beat(r.frames, said)]) * frame_s <= near_s;
    });
    if (fits != found.end()) {
        std::rotate(found.begin(), fits, fits + 1);
        return;
    }
    Reading& best = found.front();
    const double move = place_of(best.frames, said).off;
    for (double& f : best.frames)
        f += move;
    std::erase_if(best.frames, [](double f) { return f < 0; });
}

std::vector<double> at_level(const OnsetStrength& onsets, std::vector<double> frames,
                             const BeatOptions& options) {
    if (options.level == TempoLevel::as_found || frames.size() < 12) return frames;
    std::vector<double> out;
    if (options.level == TempoLevel::twice) {
        for (std::size_t i = 0; i < frames.size(); ++i) {
            out.push_back(frames[i]);
            if (i + 1 < frames.size()) out.push_back(0.5 * (frames[i] + frames[i + 1]));
        }
        return out;
    }
    std::size_t from = 0;
    if (options.downbeat_s) {
        const long said = place_of(frames, *options.downbeat_s / onsets.frame_s).number;
        from = said % 2 == 0 ? 0 : 1;
    } else {
        const BeatSteps steps = beat_steps(onsets, frames);
        const auto first = nearest_beat(frames, music_ends(onsets).first);
        for (const BarGuess& g : rank_bars(bar_cues(steps, 0, likeness(steps), first)))
            if (g.metre % 2 == 0) {
                from = static_cast<std::size_t>(g.downbeat) % 2;
                break;
            }
    }
    for (std::size_t i = from; i < frames.size(); i += 2)
        out.push_back(frames[i]);
    return out;
}

Bars bars_as_said(const BarCues& cues, const std::vector<double>& beats_s, const BeatOptions& options) {
    Bars out = find_bars(cues, options.beats_per_bar.value_or(0));
    if (!options.downbeat_s || out.beats_per_bar == 0) return out;
    const long first = place_of(beats_s, *options.downbeat_s).number;
    const long metre = out.beats_per_bar;
    for (std::size_t i = 0; i < out.position.size(); ++i)
        out.position[i] = static_cast<int>(((static_cast<long>(i) - first) % metre + metre) % metre) + 1;
    out.confidence = 1;
    return out;
}

} // namespace downball::beats
