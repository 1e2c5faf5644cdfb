// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beats/reading.h"

#include "beats/beat_path.h"
#include "beats/beat_times.h"
#include "beats/reading_weights.h"
#include "beats/rigid_grid.h"

#include <algorithm>
#include <cmath>

namespace downball::beats {

namespace {

// Mean onset strength on the beats, a played beat's few milliseconds to either side allowed.
double pulse_of(const OnsetStrength& onsets, const std::vector<double>& beats) {
    double sum = 0;
    for (double beat : beats) {
        const auto centre = std::lround(beat);
        float best = -1;
        for (long i = centre - 2; i <= centre + 2; ++i)
            if (i >= 0 && i < static_cast<long>(onsets.frames()))
                best = std::max(best, onsets.all[static_cast<std::size_t>(i)]);
        sum += static_cast<double>(std::min(4.0f, best));
    }
    return beats.empty() ? 0 : sum / static_cast<double>(beats.size());
}

std::vector<double> moved(const std::vector<double>& beats, std::size_t twelfths) {
    std::vector<double> out;
    for (std::size_t i = 0; i + 1 < beats.size(); ++i)
        out.push_back(beats[i] + static_cast<double>(twelfths) / 12.0 * (beats[i + 1] - beats[i]));
    return out;
}

// Mean over the beats of each twelfth after the shift.
using Profile = std::array<std::array<double, BeatSteps::steps>, BeatSteps::kinds>;

Profile profile(const BeatSteps& steps, std::size_t shift) {
    Profile out{};
    for (std::size_t i = 0; i < steps.beats; ++i)
        for (std::size_t s = 0; s < BeatSteps::steps; ++s)
            for (std::size_t k = 0; k < BeatSteps::kinds; ++k)
                out[k][s] += static_cast<double>(steps.at(i, s + shift, static_cast<BeatSteps::Kind>(k)));
    for (auto& kind : out)
        for (double& x : kind)
            x /= static_cast<double>(std::max<std::size_t>(1, steps.beats));
    return out;
}

double contrast(double a, double b) {
    return a + b > 1e-9 ? (a - b) / (a + b) : 0;
}

// Where a beat has its rivals: quarters and thirds.
constexpr std::array<std::size_t, 5> rivals{3, 4, 6, 8, 9};
// The twelfths by which beats may be moved against a run: not at all, or onto a rival.
constexpr std::array<std::size_t, 6> shifts{0, 3, 4, 6, 8, 9};

double lead_over_best(const std::array<double, BeatSteps::steps>& at) {
    double best = 0;
    for (std::size_t s : rivals)
        best = std::max(best, at[s]);
    return contrast(at[0], best);
}

// How far the first of `metre` beats stands out, for the best choice of the first; in units of the spread of
// the beats.
double bar_lead(const std::vector<double>& x, std::size_t metre) {
    double sum = 0, squares = 0;
    for (double v : x) {
        sum += v;
        squares += v * v;
    }
    const auto n = static_cast<double>(x.size());
    if (x.size() < 3 * metre) return 0;
    const double spread = std::sqrt(std::max(1e-9, squares / n - sum / n * sum / n));
    double best = -1e9;
    for (std::size_t o = 0; o < metre; ++o) {
        double on = 0;
        std::size_t count = 0;
        for (std::size_t i = o; i < x.size(); i += metre, ++count)
            on += x[i];
        best = std::max(best, on / static_cast<double>(count) - sum / n);
    }
    return best / spread;
}

// 1 where `frame` lies on one of the beats, 0 from a sixth of a beat on.
double on_beat(const std::vector<double>& beats, std::size_t shift, double frame) {
    if (beats.size() < 2) return 0;
    const double place = static_cast<double>(shift) / 12;
    std::size_t i = static_cast<std::size_t>(std::upper_bound(beats.begin() + 1, beats.end() - 1, frame) -
                                             beats.begin() - 1);
    double in = (frame - beats[i]) / (beats[i + 1] - beats[i]) - place;
    in -= std::round(in);
    return std::max(0.0, 1 - 6 * std::abs(in));
}

std::size_t beat_near(const std::vector<double>& beats, std::size_t shift, double frame) {
    const double moved = frame - static_cast<double>(shift) / 12 * (beats[1] - beats[0]);
    return nearest_beat(beats, moved);
}

Evidence measure(const BeatSteps& steps, std::size_t shift, const Likeness& alike, double path_score,
                 const std::vector<double>& beats, const MusicEnds& ends, const BeatOptions& options) {
    Evidence out;
    auto& v = out.value;
    using E = Evidence;
    const Profile mean = profile(steps, shift);
    std::array<double, BeatSteps::steps> struck{};
    for (std::size_t s = 0; s < BeatSteps::steps; ++s)
        struck[s] = 0.8 * mean[BeatSteps::low][s] + mean[BeatSteps::mid][s] +
                    0.8 * mean[BeatSteps::presence][s] + 0.2 * mean[BeatSteps::high][s];
    v[E::prior] = tempo_prior(steps.period_s, options);
    v[E::tempo] = std::log2(60 / steps.period_s / options.favoured_bpm);
    // Octaves from the favoured tempo, bent at five places.
    v[E::very_slow] = std::max(0.0, -0.6 - v[E::tempo]);
    v[E::slow] = std::max(0.0, -0.4 - v[E::tempo]);
    v[E::quick] = std::max(0.0, v[E::tempo] - 0.2);
    v[E::fast] = std::max(0.0, v[E::tempo] - 0.4);
    v[E::very_fast] = std::max(0.0, v[E::tempo] - 0.5);
    v[E::lead_half] = contrast(struck[0], struck[6]);
    v[E::lead_best] = lead_over_best(struck);
    v[E::lead_low] = lead_over_best(mean[BeatSteps::low]);
    v[E::lead_mid] = lead_over_best(mean[BeatSteps::mid]);
    v[E::lead_presence] = lead_over_best(mean[BeatSteps::presence]);
    v[E::off_low] = std::max(0.0, -0.2 - v[E::lead_low]);
    v[E::off_presence] = std::max(0.0, -0.2 - v[E::lead_presence]);
    v[E::lead_harmony] = contrast(mean[BeatSteps::harmony][0], mean[BeatSteps::harmony][6]);
    v[E::pulse] = mean[BeatSteps::all][0] - 0.4 * std::max(0.0, mean[BeatSteps::all][6]);
    v[E::alike1] = alike.value[Likeness::one];
    v[E::alike2] = alike.value[Likeness::two];
    v[E::alike3] = alike.value[Likeness::three];
    v[E::alike4] = alike.value[Likeness::four];
    v[E::alike6] = alike.value[Likeness::six];
    v[E::alike8] = alike.value[Likeness::eight];
    const double thirds = std::max(0.0, struck[4]) + std::max(0.0, struck[8]);
    v[E::triple] = std::abs(contrast(thirds, 2 * struck[6]));
    v[E::quarters] = contrast(struck[3] + struck[9], 2 * struck[6]);

    // Every other beat much the stronger: a tempo twice too fast.
    std::array<double, 2> turn{};
    for (std::size_t i = 0; i < steps.beats; ++i)
        turn[i % 2] += static_cast<double>(steps.at(i, shift, BeatSteps::all));
    v[E::alternate] = std::abs(contrast(std::max(0.0, turn[0]), std::max(0.0, turn[1])));
    // Where beats are all alike, one by one or two by two: nothing tells half-way points from beats, so they are
    // beats; or nothing is on every other beat, so it is none.
    double most = 0;
    for (const auto reg : {BeatSteps::low, BeatSteps::mid, BeatSteps::presence, BeatSteps::high})
        most = std::max(most, std::abs(contrast(mean[reg][0], mean[reg][6])));
    const auto same = [&](double changing) {
        return std::clamp((alike.constant + (1 - alike.constant) * changing - 0.8) / 0.15, 0.0, 1.0);
    };
    out.ruled_out = std::max(same(0) * std::max(0.0, 1 - 30 * most),
                             same(v[E::alike2]) * std::max(0.0, (v[E::alternate] - 0.85) / 0.15));
    v[E::path] = path_score;

    v[E::begins] = on_beat(beats, shift, ends.first);
    v[E::ends] = on_beat(beats, shift, ends.last);
    // A short note leads into a beat, a long one follows it.
    v[E::swing] = contrast(struck[8], struck[4]);
    v[E::pick_up] = contrast(struck[9], struck[3]);
    v[E::low_half] = contrast(mean[BeatSteps::low][0], mean[BeatSteps::low][6]);
    v[E::mid_half] = contrast(mean[BeatSteps::mid][0], mean[BeatSteps::mid][6]);
    v[E::presence_half] = contrast(mean[BeatSteps::presence][0], mean[BeatSteps::presence][6]);
    v[E::low_thirds] =
        contrast(2 * mean[BeatSteps::low][0], mean[BeatSteps::low][4] + mean[BeatSteps::low][8]);
    v[E::lead_chord] = lead_over_best(mean[BeatSteps::harmony]);
    // How soon after a beat, and how soon before it, the next plain thing happens.
    double after = 0, before = 0;
    for (std::size_t s = 1; s < 6; ++s) {
        after += std::max(0.0, struck[s]) * static_cast<double>(6 - s);
        before += std::max(0.0, struck[12 - s]) * static_cast<double>(6 - s);
    }
    v[E::follow_gap] = contrast(before, after);

    std::vector<double> first, chord;
    for (std::size_t i = 0; i < steps.beats; ++i) {
        first.push_back(static_cast<double>(steps.at(i, shift, BeatSteps::low)) +
                        3 * static_cast<double>(steps.at(i, shift, BeatSteps::harmony)) -
                        0.5 * static_cast<double>(steps.at(i, shift, BeatSteps::presence)));
        chord.push_back(static_cast<double>(steps.at(i, shift, BeatSteps::harmony)));
    }
    v[E::bar3] = bar_lead(first, 3);
    v[E::bar4] = bar_lead(first, 4);
    const std::size_t begin = beat_near(beats, shift, ends.first);
    const auto guesses = rank_bars(bar_cues(steps, shift, alike, begin));
    if (!guesses.empty()) {
        v[E::bar_score] = guesses.front().score;
        v[E::bar_sure] = likelihood_of_first(guesses);
    }
    for (std::size_t reg = 0; reg < OnsetStrength::registers; ++reg) {
        double sum = 1e-9;
        for (double x : mean[reg])
            sum += x / BeatSteps::steps;
        for (std::size_t s = 0; s < BeatSteps::steps; ++s)
            out.profile[reg][s] = std::min(4.0, mean[reg][s] / sum);
    }
    v[E::bar_harmony] = std::max(bar_lead(chord, 4), bar_lead(chord, 3));
    return out;
}

double level_of(const Evidence& evidence) {
    double sum = -4 * evidence.ruled_out;
    for (std::size_t k = 0; k < Evidence::kinds; ++k)
        sum += reading_weights::evidence[k] * evidence.value[k];
    for (std::size_t reg = 0; reg < OnsetStrength::registers; ++reg)
        for (std::size_t s = 0; s < BeatSteps::steps; ++s)
            sum += reading_weights::profile[reg][s] * evidence.profile[reg][s];
    return sum;
}

} // namespace

std::vector<Reading> readings(const OnsetStrength& onsets, const std::vector<TempoCurve>& guesses,
                              const BeatOptions& options) {
    std::vector<Reading> out;
    const MusicEnds ends = music_ends(onsets);
    const auto read = [&](const std::vector<double>& frames, bool rigid, double path_score, double salience) {
        const BeatSteps steps = beat_steps(onsets, frames);
        const Likeness alike = likeness(steps);
        for (const std::size_t shift : shifts) {
            Reading r;
            r.evidence = measure(steps, shift, alike, path_score, frames, ends, options);
            r.likeness = alike;
            r.salience = salience;
            r.rigid = rigid;
            r.level = level_of(r.evidence);
            r.frames = shift == 0 ? frames : moved(frames, shift);
            out.push_back(std::move(r));
        }
    };
    for (const TempoCurve& guess : guesses) {
        const BeatPath path = best_path(onsets, guess);
        if (path.frames.size() < 4) continue;
        // Where one tempo serves nearly as well as a path that may bend, it is one tempo; near the border both are
        // read.
        double share = 0;
        const auto [least, most] = std::minmax_element(guess.period_s.begin(), guess.period_s.end());
        if (*most < 1.04 * *least) {
            const auto rigid = rigid_grid(onsets, guess.quantile_s(0.5));
            share = pulse_of(onsets, rigid) / std::max(1e-9, pulse_of(onsets, path.frames));
            if (share > 0.86) read(rigid, true, path.score, guess.salience);
        }
        if (share < 0.94) read(path.frames, false, path.score, guess.salience);
    }
    std::stable_sort(out.begin(), out.end(),
                     [](const Reading& a, const Reading& b) { return a.level > b.level; });
    return out;
}

} // namespace downball::beats
