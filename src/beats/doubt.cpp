// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beats/doubt.h"

#include "beats/beat_times.h"

#include <algorithm>
#include <cmath>

namespace downball::beats {

namespace {

// Nine in ten beats of `a` have one of `b` within an eighth of a beat, and there are as many.
bool same_beats(const Reading& a, const Reading& b) {
    const auto most = static_cast<double>(std::max(a.frames.size(), b.frames.size()));
    std::size_t met = 0, j = 0;
    for (std::size_t i = 0; i + 1 < a.frames.size(); ++i) {
        const double reach = (a.frames[i + 1] - a.frames[i]) / 8;
        while (j + 1 < b.frames.size() && b.frames[j] < a.frames[i] - reach)
            ++j;
        if (std::abs(b.frames[j] - a.frames[i]) <= reach) ++met;
    }
    return static_cast<double>(met) > 0.9 * most;
}

double tempo_bpm(const Reading& reading, double frame_s) {
    const double gap = median_gap(reading.frames);
    return gap > 0 ? 60 / (gap * frame_s) : 0;
}

} // namespace

// Music comes back after a beat, and does the same on every beat; noise, speech and single hits do not, whatever
// run of peaks was found in them. Of music's onsets 0.27 and more come back after the periods of some tempo, of
// noise, speech and hits at random 0.12 and less; the same on every beat are 0.29 and more of music's, 0.21 and
// less of the others' (5 % and 95 % of the bench's tracks and of the tests' noises, 10 to 60 s of each).
// The second half of confidence is that no other reading is as good.
double confidence_of(const std::vector<Reading>& found) {
    if (found.empty()) return 0;
    double salience = 0, rivals = 0;
    double alike = 0;
    for (const Reading& r : found) {
        salience = std::max(salience, r.salience);
        const double odds = std::exp(r.level - found.front().level);
        rivals += odds;
        if (same_beats(r, found.front())) alike += odds;
    }
    const double comes_back = std::clamp((salience - 0.10) / 0.12, 0.0, 1.0);
    const double same = std::clamp((found.front().likeness.constant - 0.08) / 0.20, 0.0, 1.0);
    return comes_back * same * (0.5 + 0.5 * alike / rivals);
}

std::vector<OtherTempo> other_tempi(const std::vector<Reading>& found, double frame_s) {
    constexpr double least = 0.15, near = 0.04;
    std::vector<OtherTempo> all; // the first stands for the tempo chosen
    double sum = 0;
    for (const Reading& r : found) {
        const double bpm = tempo_bpm(r, frame_s), odds = std::exp(r.level - found.front().level);
        if (!(bpm > 0)) continue;
        sum += odds;
        const auto known = std::find_if(all.begin(), all.end(), [&](const OtherTempo& t) {
            return std::abs(std::log(t.tempo_bpm / bpm)) < near;
        });
        if (known == all.end())
            all.push_back({bpm, odds});
        else
            known->likelihood += odds;
    }
    std::vector<OtherTempo> out;
    for (std::size_t i = 1; i < all.size(); ++i)
        if (all[i].likelihood >= least * sum) out.push_back({all[i].tempo_bpm, all[i].likelihood / sum});
    std::stable_sort(out.begin(), out.end(),
                     [](const OtherTempo& a, const OtherTempo& b) { return a.likelihood > b.likelihood; });
    return out;
}

} // namespace downball::beats
