// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beats/steady_grid.h"

#include <algorithm>
#include <cmath>

namespace downball::beats {

namespace {

struct Point {
    double seconds = 0;
    double weight = 0;
};

struct Line {
    double offset = 0, period = 0;
    double residual(double seconds) const {
        const double k = std::round((seconds - offset) / period);
        return seconds - (offset + k * period);
    }
};

// Least squares over (grid number, seconds) with Tukey's biweight against onsets that belong elsewhere.
Line refit(const std::vector<Point>& points, std::size_t from, std::size_t to, Line line, double reach_s) {
    for (int round = 0; round < 4; ++round) {
        double sw = 0, sk = 0, st = 0, skk = 0, skt = 0;
        const double middle = std::round((points[(from + to) / 2].seconds - line.offset) / line.period);
        for (std::size_t i = from; i < to; ++i) {
            const double r = line.residual(points[i].seconds) / reach_s;
            if (std::abs(r) >= 1) continue;
            const double w = points[i].weight * (1 - r * r) * (1 - r * r);
            const double k = std::round((points[i].seconds - line.offset) / line.period) - middle;
            sw += w;
            sk += w * k;
            st += w * points[i].seconds;
            skk += w * k * k;
            skt += w * k * points[i].seconds;
        }
        const double det = sw * skk - sk * sk;
        if (!(det > 1e-9 * sw * sw)) return line;
        const double period = (sw * skt - sk * st) / det;
        if (!(period > 0.5 * line.period && period < 2 * line.period)) return line;
        line = {(st - sk * period) / sw - middle * period, period};
    }
    return line;
}

double root_mean_square(const std::vector<Point>& points, std::size_t from, std::size_t to, const Line& line,
                        double within_s) {
    double sum = 0, weights = 0;
    for (std::size_t i = from; i < to; ++i) {
        const double r = line.residual(points[i].seconds);
        if (std::abs(r) > within_s) continue;
        sum += points[i].weight * r * r;
        weights += points[i].weight;
    }
    return weights > 0 ? std::sqrt(sum / weights) : within_s;
}

// Starts from the straightest stretch and doubles it until it is the song: the period is then always known
// well enough to number the next beats, even past a gap in which single beats went astray.
std::optional<Line> grow(const std::vector<Point>& points) {
    const std::size_t n = points.size(), window = std::min<std::size_t>(24, n);
    if (window < 8) return {};
    std::size_t start = 0;
    Line line;
    double straightest = 1e9;
    for (std::size_t from = 0; from + window <= n; from += std::max<std::size_t>(1, window / 2)) {
        std::vector<double> gaps;
        for (std::size_t i = from + 1; i < from + window; ++i)
            gaps.push_back(points[i].seconds - points[i - 1].seconds);
        std::nth_element(gaps.begin(), gaps.begin() + static_cast<std::ptrdiff_t>(gaps.size() / 2),
                         gaps.end());
        Line guess{points[from + window / 2].seconds, gaps[gaps.size() / 2]};
        guess = refit(points, from, from + window, guess, 0.2 * guess.period);
        guess = refit(points, from, from + window, guess, 0.030);
        double missed = 0, all = 1e-9;
        for (std::size_t i = from; i < from + window; ++i) {
            all += points[i].weight;
            if (std::abs(guess.residual(points[i].seconds)) > 0.015) missed += points[i].weight;
        }
        const double bend = root_mean_square(points, from, from + window, guess, 0.03) + 0.03 * missed / all;
        if (bend < straightest) {
            straightest = bend;
            line = guess;
            start = from;
        }
    }
    for (std::size_t from = start, to = start + window; from > 0 || to < n;) {
        const std::size_t more = std::max<std::size_t>(4, (to - from) / 3);
        from = from > more ? from - more : 0;
        to = std::min(n, to + more);
        line = refit(points, from, to, line, 0.040);
        line = refit(points, from, to, line, 0.020);
    }
    return line;
}

// What stretches of 16 beats say about the line.
struct Stretches {
    double wander = 1;   // of those that lie on it: ninth tenth of their medians' distances
    double in_tempo = 0; // share of those that keep its tempo, be it shifted: in a breakdown single beats
                         // may have settled on the off-beats, which is no change of tempo
};

Stretches judge(const std::vector<Point>& points, const Line& line) {
    std::vector<double> off;
    int judged = 0, kept = 0;
    const auto median = [](std::vector<double> x) {
        const auto middle = x.begin() + static_cast<std::ptrdiff_t>(x.size() / 2);
        std::nth_element(x.begin(), middle, x.end());
        return *middle;
    };
    for (std::size_t from = 0; from < points.size(); from += 16) {
        std::vector<double> first, second;
        const std::size_t to = std::min(from + 16, points.size());
        double anchor = 0;
        bool anchored = false;
        for (std::size_t i = from; i < to; ++i) {
            if (points[i].weight < 0.3) continue;
            double r = line.residual(points[i].seconds);
            if (!anchored) anchor = r;
            anchored = true;
            r -= line.period * std::round((r - anchor) / line.period);
            (i < from + 8 ? first : second).push_back(r);
        }
        if (first.size() < 3 || second.size() < 3) continue;
        const double a = median(first), b = median(second);
        ++judged;
        if (std::abs(a - b) < 0.012) ++kept;
        if (std::abs(a) < 0.040 && std::abs(b) < 0.040) off.push_back(std::abs(0.5 * (a + b)));
    }
    Stretches out;
    if (judged > 0) out.in_tempo = static_cast<double>(kept) / judged;
    if (!off.empty()) {
        std::sort(off.begin(), off.end());
        out.wander = off[std::min(off.size() - 1, off.size() * 9 / 10)];
    }
    return out;
}

std::vector<Point> read_hits(const OnsetClock& clock, const std::vector<double>& at, double reach_s,
                             double pull_s) {
    std::vector<Point> out;
    for (double t : at) {
        const auto hit = clock.near(t, reach_s, pull_s);
        out.push_back({hit.seconds, std::min(1.0, hit.rise / 4)}); // 4: some 6 dB in each of three envelopes
    }
    return out;
}

// The line through hits near its own places, and how far whole stretches stray from it. Stretches in which
// little is struck abstain.
SteadyGrid settle(const OnsetClock& clock, Line line, double first_s, double last_s) {
    const auto first = static_cast<long>(std::round((first_s - line.offset) / line.period));
    const auto last = static_cast<long>(std::round((last_s - line.offset) / line.period));
    line.offset += static_cast<double>(first) * line.period;
    std::vector<Point> near;
    // Hits are looked for around the line, near ones preferred, so a line that moved hears others: until it rests.
    for (int round = 0; round < 5; ++round) {
        std::vector<double> places;
        for (long k = 0; k <= last - first; ++k)
            places.push_back(line.offset + static_cast<double>(k) * line.period);
        near = read_hits(clock, places, 0.030, 0.010);
        const Line before = line;
        line = refit(near, 0, near.size(), line, round == 0 ? 0.020 : 0.015);
        line.offset += line.period * std::round((before.offset - line.offset) / line.period);
        const double end = static_cast<double>(last - first);
        if (std::abs(line.offset - before.offset) < 5e-5 &&
            std::abs(line.offset - before.offset + end * (line.period - before.period)) < 5e-5)
            break;
    }
    SteadyGrid grid{line.offset, line.period};
    grid.residual_s = root_mean_square(near, 0, near.size(), line, 0.030);
    grid.wander_s = judge(near, line).wander;
    return grid;
}

constexpr double most_wander_s = 0.007;

} // namespace

std::optional<SteadyGrid> fit_steady(const OnsetClock& clock, const std::vector<double>& beats_s) {
    const auto loose = read_hits(clock, beats_s, 0.040, 0.020);
    auto line = grow(loose);
    if (!line) return {};
    double inside = 0, all = 0;
    for (const Point& p : loose) {
        all += p.weight;
        if (std::abs(line->residual(p.seconds)) <= 0.015) inside += p.weight;
    }
    const Stretches stretches = judge(loose, *line);
    if (inside < 0.55 * all || stretches.wander > most_wander_s || stretches.in_tempo < 0.75) return {};
    // A second look, nearer to the grid: a ghost note before the beat no longer draws it away.
    return settle(clock, *line, beats_s.front(), beats_s.back());
}

std::optional<SteadyGrid> refine_grid(const OnsetClock& clock, const std::vector<double>& grid_s) {
    if (grid_s.size() < 8) return {};
    const Line line{grid_s.front(),
                    (grid_s.back() - grid_s.front()) / static_cast<double>(grid_s.size() - 1)};
    const SteadyGrid grid = settle(clock, line, grid_s.front(), grid_s.back());
    if (grid.wander_s > most_wander_s) return {};
    return grid;
}

// Minimises sum w (x - hit)^2 + stiffness * sum (second difference of x)^2: a smoothing spline with knots at
// the beats, solved as a banded system.
std::vector<double> follow(const OnsetClock& clock, const std::vector<double>& beats_s) {
    const auto hits = read_hits(clock, beats_s, 0.040, 0.015);
    const std::size_t n = hits.size();
    if (n < 3) return beats_s;
    // A hit strays by 6 ms from where the beat is felt, a gap by 12 ms from the one before.
    constexpr double hit_spread_s = 0.006, gap_spread_s = 0.012;
    const double stiff = (hit_spread_s / gap_spread_s) * (hit_spread_s / gap_spread_s);
    std::vector<double> d0(n), d1(n, 0.0), d2(n, 0.0), x(n);
    for (std::size_t i = 0; i < n; ++i) {
        const double w = 0.02 + hits[i].weight * hits[i].weight;
        d0[i] = w;
        x[i] = w * hits[i].seconds;
    }
    for (std::size_t i = 1; i + 1 < n; ++i) {
        d0[i - 1] += stiff;
        d0[i] += 4 * stiff;
        d0[i + 1] += stiff;
        d1[i - 1] -= 2 * stiff;
        d1[i] -= 2 * stiff;
        d2[i - 1] += stiff;
    }
    // LDL' of the five-diagonal matrix, then back.
    for (std::size_t i = 0; i < n; ++i) {
        if (i + 1 < n) {
            const double l1 = d1[i] / d0[i];
            d0[i + 1] -= l1 * d1[i];
            if (i + 2 < n) d1[i + 1] -= l1 * d2[i];
            x[i + 1] -= l1 * x[i];
        }
        if (i + 2 < n) {
            const double l2 = d2[i] / d0[i];
            d0[i + 2] -= l2 * d2[i];
            x[i + 2] -= l2 * x[i];
        }
    }
    for (std::size_t i = n; i-- > 0;) {
        double right = x[i];
        if (i + 1 < n) right -= d1[i] * x[i + 1];
        if (i + 2 < n) right -= d2[i] * x[i + 2];
        x[i] = right / d0[i];
    }
    return x;
}

} // namespace downball::beats
