// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beats/beat_path.h"

#include <algorithm>
#include <cmath>
#include <cstdint>

namespace downball::beats {

namespace {

constexpr double range = 1.09;

// What is allowed, and what is likely, near one knot of the curve. A knot hears 5 s to either side, so where
// the tempo steps the path may be at either tempo for as long.
struct Local {
    std::size_t from = 0, to = 0; // [from, to): periods less the shortest
    bool steps = false;
    std::vector<float> own; // what each period costs by itself
};

std::vector<Local> local_ranges(const TempoCurve& curve, std::size_t shortest, std::size_t periods,
                                double frame_s) {
    constexpr double range_cost = 4; // a beat 10 % off the tempo asked for costs 0.04
    const std::size_t knots = curve.period_s.size();
    std::vector<Local> local(knots);
    for (std::size_t k = 0; k < knots; ++k) {
        double low = curve.period_s[k], high = low;
        for (std::size_t j = k > 2 ? k - 2 : 0; j < std::min(knots, k + 3); ++j) {
            low = std::min(low, curve.period_s[j]);
            high = std::max(high, curve.period_s[j]);
        }
        local[k].own.assign(periods, 0.0f);
        local[k].steps = high > 1.05 * low;
        local[k].from = periods;
        for (std::size_t p = 0; p < periods; ++p) {
            const double period = static_cast<double>(shortest + p) * frame_s;
            if (period < low / range || period > high * range) continue;
            local[k].from = std::min(local[k].from, p);
            local[k].to = p + 1;
            const double off = std::max({0.0, std::log(low / period), std::log(period / high)});
            local[k].own[p] = static_cast<float>(range_cost * off * off);
        }
    }
    return local;
}

} // namespace

// Dynamic programming over (beat instant, period that led to it), after the penalty form of Ellis (J. New
// Music Res. 36(1), 2007: onset strength minus alpha * ln(gap / T)^2) with two differences: the gap is
// compared with the gap before it instead of one T for the song, so that drift and ramps cost little and
// jumps much; and what is summed is weighted by the gap, so that runs at different tempi can be compared.
// A beat also pays for what is struck half-way to the one before it, or the run would settle on off-beats
// and on half the tempo as gladly as on the beat.
BeatPath best_path(const OnsetStrength& onsets, const TempoCurve& curve) {
    // In units of the onset strength, at most 4 of which a beat can gain.
    constexpr double change_cost = 8000; // 1 % from beat to beat costs 0.8, 2 % costs 3
    constexpr double step_cost = 4;      // the most a change costs where the curve itself steps
    constexpr float half_way_cost = 0.4f;

    BeatPath out;
    if (curve.period_s.empty()) return out;
    const auto [least, most] = std::minmax_element(curve.period_s.begin(), curve.period_s.end());
    const auto shortest = static_cast<std::size_t>(*least / range / onsets.frame_s);
    const auto longest = static_cast<std::size_t>(*most * range / onsets.frame_s) + 1;
    const std::size_t periods = longest + 1 - shortest;
    const double wanted = curve.quantile_s(0.5) / onsets.frame_s;
    if (shortest < 4 || onsets.last - onsets.first < 2 * longest) return out;

    // A touch of smoothing lets struck and played beats count that are a few milliseconds off.
    const std::size_t n = onsets.last - onsets.first;
    std::vector<float> x(n);
    for (std::size_t i = 0; i < n; ++i) {
        const std::size_t k = i + onsets.first;
        const auto get = [&](std::size_t j) { return j < onsets.all.size() ? onsets.all[j] : 0.0f; };
        x[i] = std::min(4.0f, 0.5f * get(k) + 0.25f * (get(k - 1) + get(k + 1)));
    }

    const std::size_t reach = std::max<std::size_t>(2, static_cast<std::size_t>(0.08 * wanted));
    std::vector<float> penalty(periods * (2 * reach + 1), 1e9f), step_penalty = penalty;
    for (std::size_t p = 0; p < periods; ++p)
        for (std::size_t d = 0; d <= 2 * reach; ++d) {
            const auto from = static_cast<long>(p + d) - static_cast<long>(reach);
            if (from < 0 || from >= static_cast<long>(periods)) continue;
            const double ratio = std::log(static_cast<double>(shortest + p) /
                                          static_cast<double>(static_cast<long>(shortest) + from));
            const double cost = change_cost * ratio * ratio;
            penalty[p * (2 * reach + 1) + d] = static_cast<float>(cost);
            step_penalty[p * (2 * reach + 1) + d] = static_cast<float>(std::min(step_cost, cost));
        }
    const std::vector<Local> local = local_ranges(curve, shortest, periods, onsets.frame_s);
    std::vector<float> weight(periods);
    for (std::size_t p = 0; p < periods; ++p)
        weight[p] = static_cast<float>(static_cast<double>(shortest + p) / wanted);

    constexpr float never = -1e30f;
    constexpr std::uint8_t first_beat = 255; // in `back`, else a place in the row of penalties
    if (2 * reach >= first_beat) return out; // a beat of 9 s: no tempo that can be asked for
    // A song may last hours: values are kept as far back as a beat reaches, ways only for the periods allowed.
    const auto local_at = [&](std::size_t t) -> const Local& {
        const auto knot = static_cast<std::size_t>(
            std::lround(static_cast<double>(t + onsets.first) * onsets.frame_s / curve.step_s));
        return local[std::min(knot, local.size() - 1)];
    };
    const std::size_t rows = longest + 1;
    std::vector<float> best(rows * periods);
    std::vector<std::size_t> back_at(n); // where the ways to beats at t begin in `back`
    std::size_t ways = 0;
    for (std::size_t t = 0; t < n; ++t) {
        const Local& here_s = local_at(t);
        back_at[t] = ways;
        ways += here_s.to > here_s.from ? here_s.to - here_s.from : 0;
    }
    std::vector<std::uint8_t> back(ways, first_beat);
    for (std::size_t t = 0; t < n; ++t) {
        const Local& here_s = local_at(t);
        float* const row = best.data() + t % rows * periods;
        std::fill(row, row + periods, never);
        for (std::size_t p = here_s.from; p < here_s.to; ++p) {
            const std::size_t period = shortest + p;
            float& here = row[p];
            if (t < period) { // a first beat
                here = weight[p] * (x[t] - here_s.own[p]);
                continue;
            }
            const float* before = best.data() + (t - period) % rows * periods;
            const float* cost = (here_s.steps ? step_penalty : penalty).data() + p * (2 * reach + 1);
            float top = 2 * never;
            std::size_t chosen = 0;
            const std::size_t d0 = p < reach ? reach - p : 0;
            const std::size_t d1 = std::min(2 * reach, periods - 1 + reach - p);
            for (std::size_t d = d0; d <= d1; ++d) {
                const float value = before[p + d - reach] - cost[d];
                if (value > top) {
                    top = value;
                    chosen = d;
                }
            }
            here =
                top + weight[p] * (x[t] - half_way_cost * std::max(0.0f, x[t - period / 2]) - here_s.own[p]);
            back[back_at[t] + p - here_s.from] = static_cast<std::uint8_t>(chosen);
        }
    }

    std::size_t t = n, p = 0;
    float top = never;
    for (std::size_t i = n - longest; i < n; ++i)
        for (std::size_t q = 0; q < periods; ++q)
            if (const float value = best[i % rows * periods + q]; value > top && i + shortest + q >= n) {
                top = value;
                t = i;
                p = q;
            }
    if (t == n) return out;
    out.score = static_cast<double>(top) * wanted / static_cast<double>(n);
    while (true) {
        out.frames.push_back(static_cast<double>(t + onsets.first));
        const std::uint8_t chosen = back[back_at[t] + p - local_at(t).from];
        if (chosen == first_beat) break;
        t -= shortest + p;
        p = p + chosen - reach;
    }
    std::reverse(out.frames.begin(), out.frames.end());
    return out;
}

} // namespace downball::beats
