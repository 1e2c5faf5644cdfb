// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/beats/beat_finder.h"

#include "beats/bars.h"
#include "beats/beat_content.h"
#include "beats/beat_times.h"
#include "beats/doubt.h"
#include "beats/feature_stream.h"
#include "beats/form.h"
#include "beats/hints.h"
#include "beats/onset_clock.h"
#include "beats/reading.h"
#include "beats/steady_grid.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace downball::beats {

namespace {

constexpr double shortest_s = 2;

std::vector<double> to_seconds(const std::vector<double>& frames, double frame_s) {
    std::vector<double> out;
    for (double f : frames)
        out.push_back(f * frame_s);
    return out;
}

// All grid places from the first sound to the last. A tolerance of 30 ms lets in the beat the song begins on.
std::vector<double> lay_out(const SteadyGrid& grid, double first_s, double last_s) {
    std::vector<double> out;
    const double k0 = std::ceil((first_s - 0.03 - grid.offset_s) / grid.period_s);
    for (double k = k0;; ++k) {
        const double t = grid.offset_s + k * grid.period_s;
        if (t > last_s) return out;
        out.push_back(std::max(0.0, t));
    }
}

void add_strengths(const BeatContent& c, BeatGrid& grid) {
    std::vector<double> plain;
    for (std::size_t i = 0; i < grid.beats.size(); ++i) {
        const double sum = 1.2 * c.low[i] + c.mid[i] + 0.9 * c.presence[i] + 0.5 * c.high[i];
        plain.push_back(sum * (grid.beats[i].position == 1 ? 1.15 : 1.0)); // felt more strongly than struck
    }
    auto sorted = plain;
    std::sort(sorted.begin(), sorted.end());
    const double full = sorted.empty() ? 0 : sorted[(sorted.size() - 1) * 19 / 20];
    for (std::size_t i = 0; i < plain.size(); ++i)
        grid.beats[i].strength = full > 0 ? std::clamp(plain[i] / full, 0.0, 1.0) : 0;
}

} // namespace

struct BeatFinder::State {
    BeatOptions options;
    FeatureStream features;
};

BeatFinder::BeatFinder(int rate_hz, int channels, const BeatOptions& options)
    : state_(new State{options, FeatureStream(rate_hz, channels)}) {}
BeatFinder::BeatFinder(BeatFinder&&) noexcept = default;
BeatFinder& BeatFinder::operator=(BeatFinder&&) noexcept = default;
BeatFinder::~BeatFinder() = default;

Result<void> BeatFinder::push(const dsp::PlanarBlock& block) {
    return state_->features.push(block);
}

Result<BeatGrid> BeatFinder::finish(const LongWork& work) {
    const auto stopped = [] { return Error{Fault::interrupted, "stopped while looking for beats", ""}; };
    const SongFeatures song = state_->features.finish();
    BeatGrid grid;
    grid.duration_s = song.duration_s;
    if (song.duration_s < shortest_s)
        return Error{
            Fault::bad_input,
            fmt::format("found {:.2f} s of sound, expected a song of at least {:.0f} s; give the whole track",
                        song.duration_s, shortest_s),
            ""};
    if (work.stop_asked()) return stopped();

    const OnsetStrength onsets = onset_strength(song);
    work.report(0.3);
    const BeatOptions range = tempo_range(state_->options);
    auto found = readings(onsets, guess_tempi(onsets, range), range);
    heed_downbeat(found, range, song.frame_s);
    work.report(0.7);
    if (work.stop_asked()) return stopped();
    if (found.empty()) return grid;
    const Reading& reading = found.front();
    grid.confidence = confidence_of(found);
    if (range.level == TempoLevel::as_found) grid.other_tempi = other_tempi(found, song.frame_s);
    if (grid.confidence <= 0) return grid;

    const OnsetClock clock(song);
    auto beats_s = to_seconds(at_level(onsets, reading.frames, range), song.frame_s);
    if (const auto steady = reading.rigid ? refine_grid(clock, beats_s) : fit_steady(clock, beats_s)) {
        beats_s = lay_out(*steady, static_cast<double>(onsets.first) * song.frame_s,
                          std::min(song.duration_s, static_cast<double>(onsets.last) * song.frame_s));
        grid.steady = true;
        grid.tempo_bpm = 60 / steady->period_s;
        grid.residual_s = steady->residual_s;
    } else {
        beats_s = follow(clock, beats_s);
        grid.tempo_bpm = 60 / median_gap(beats_s);
    }
    work.report(0.9);

    double last = -1;
    for (double t : beats_s) {
        t = std::max(0.0, t);
        if (!(t > last) || t > song.duration_s) continue;
        grid.beats.push_back({t});
        last = t;
    }
    std::vector<double> kept;
    for (const Beat& b : grid.beats)
        kept.push_back(b.seconds);
    const BeatContent content = beat_content(song, onsets, kept);
    std::vector<double> frames;
    for (double t : kept)
        frames.push_back(t / song.frame_s);
    if (frames.size() > 1) frames.push_back(2 * frames.back() - frames[frames.size() - 2]);
    const BeatSteps steps = beat_steps(onsets, frames);
    const double begins = music_ends(onsets).first;
    std::size_t first = 0;
    while (first + 1 < kept.size() && frames[first] + 0.3 * (frames[first + 1] - frames[first]) < begins)
        ++first;
    const Bars bars = bars_as_said(bar_cues(steps, 0, likeness(steps), first), kept, range);
    grid.beats_per_bar = bars.beats_per_bar;
    grid.division = steps.beats == 0 ? 0 : (thirds_of(steps, 0) > 0 ? 3 : 2);
    grid.downbeat_confidence = bars.confidence * grid.confidence;
    for (std::size_t i = 0; i < bars.position.size(); ++i)
        grid.beats[i].position = bars.position[i];
    add_strengths(content, grid);
    add_form(content, grid);
    work.report(1);
    return grid;
}

} // namespace downball::beats
