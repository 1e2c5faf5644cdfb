// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "impacts/context.h"

#include "impacts/alike.h"

#include <algorithm>
#include <cmath>
#include <vector>

namespace downball::impacts {
namespace {

float rises_alike(const Candidate& a, const Candidate& b) {
    return likeness(a.rise, b.rise, 0.8f, dsp::band_count);
}

float density(const Near& near, std::size_t index) {
    constexpr double reach_s = 1.0;
    float count = 0;
    for (const Candidate& other : near) {
        const double apart = std::abs(other.seconds - near[index].seconds);
        if (apart > reach_s || &other == &near[index]) continue;
        // Half a vote at -6 dB, all of it for equals and above.
        count += std::clamp(1 + level_ratio_ln(other, near[index]) / 2.8f, 0.0f, 1.0f);
    }
    return count;
}

float rank(const Near& near, std::size_t index) {
    constexpr double reach_s = 1.5;
    float lowest = 4;
    for (const Candidate& other : near) {
        if (&other == &near[index] || std::abs(other.seconds - near[index].seconds) > reach_s) continue;
        lowest = std::min(lowest, level_ratio_ln(near[index], other));
    }
    return std::max(lowest, -6.0f);
}

constexpr double echo_first_s = 0.050, echo_last_s = 0.165;

struct Echo {
    float alike = 0, after = 0, repeat = 0;
};

// How many louder sounds in the neighbourhood, apart from `source`, are followed by one that is fainter by
// about as much, after the same time.
float repeats(const Near& near, std::size_t source, double lag_s, float fainter) {
    constexpr double slack_s = 0.002;
    float count = 0;
    for (std::size_t k = 0; k < near.size(); ++k) {
        if (k == source || level_ratio_ln(near[k], near[source]) < -2.5f) continue;
        for (std::size_t m = k + 1; m < near.size(); ++m) {
            const double lag = near[m].seconds - near[k].seconds;
            if (lag > lag_s + slack_s) break;
            if (lag < lag_s - slack_s) continue;
            if (std::abs(level_ratio_ln(near[k], near[m]) - fainter) < 1.5f) {
                count += 1;
                break;
            }
        }
    }
    return count;
}

Echo echo(const Near& near, std::size_t index) {
    Echo found;
    for (std::size_t i = index; i-- > 0;) {
        const double lag_s = near[index].seconds - near[i].seconds;
        if (lag_s > echo_last_s) break;
        if (lag_s < echo_first_s) continue;
        const float fainter = level_ratio_ln(near[i], near[index]);
        if (fainter <= 0) continue;
        // An echo is dulled: the top bands say little.
        const float alike = likeness(near[index].colour, near[i].colour, 1.2f, 6);
        found.alike = std::max(found.alike, std::min(fainter / 2, 2.0f) * alike);
        found.after = std::max(found.after, fainter);
        found.repeat = std::max(found.repeat, std::min(4.0f, repeats(near, i, lag_s, fainter)));
    }
    return found;
}

// For each period that a pair suggests: how many of the eight nearest multiples hold an event like this one,
// less what chance would put there.
float comb(const Near& near, std::size_t index) {
    constexpr double shortest_s = 0.24, longest_s = 1.15, slack_s = 0.022;
    constexpr int steps = 4;
    if (near.size() < 2) return 0;
    const Candidate& self = near[index];
    // Side by side, since they are looked up again and again.
    std::vector<double> seconds;
    std::vector<float> alike;
    float mean = 0;
    for (const Candidate& other : near) {
        seconds.push_back(other.seconds);
        alike.push_back(&other == &self ? 0
                                        : rises_alike(other, self) *
                                              std::exp(-std::abs(level_ratio_ln(other, self)) / 3));
        mean += alike.back();
    }
    const auto support = [&](double instant) {
        float most = 0;
        for (auto it = std::lower_bound(seconds.begin(), seconds.end(), instant - slack_s);
             it != seconds.end() && *it <= instant + slack_s; ++it)
            most = std::max(most, alike[static_cast<std::size_t>(it - seconds.begin())]);
        return most;
    };
    const auto others = static_cast<double>(near.size() - 1);
    mean /= static_cast<float>(others);
    const double span_s = std::max(1.0, seconds.back() - seconds.front());
    const auto chance = static_cast<float>(std::min(1.0, others * 2 * slack_s / span_s)) * mean;
    float best = 0;
    for (const double at : seconds) {
        const double apart = std::abs(at - self.seconds);
        for (const double period : {apart, apart / 2}) {
            if (period < shortest_s || period > longest_s) continue;
            float sum = 0;
            for (int k = -steps; k <= steps; ++k)
                if (k != 0) sum += support(self.seconds + k * period);
            best = std::max(best, sum / (2 * steps));
        }
    }
    return std::max(0.0f, best - chance);
}

} // namespace

void judge_context(Near& near, std::size_t index) {
    FeatureVector& f = near[index].features;
    f[Feature::density] = density(near, index);
    f[Feature::rank] = rank(near, index);
    const Echo repeated = echo(near, index);
    f[Feature::echo] = repeated.alike;
    f[Feature::after] = repeated.after;
    f[Feature::repeat] = repeated.repeat;
    f[Feature::comb] = comb(near, index);
}

} // namespace downball::impacts
