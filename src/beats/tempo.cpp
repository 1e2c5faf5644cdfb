// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beats/tempo.h"

#include "downball/dsp/lanes.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <span>

namespace downball::beats {

namespace {

constexpr double ratio_step = 0.01; // of the period grid: a hundredth of its natural logarithm
constexpr double window_s = 10, about_hop_s = 2.5;

// Salience of every period of the grid in every window: mean autocorrelation at the period's first multiples.
struct Tempogram {
    double first_s = 0; // centre of the first window
    double hop_s = 0;   // from one to the next: whole frames
    std::vector<double> periods_s;
    std::vector<std::vector<float>> windows;

    // Windows stand at first_s + k * hop_s, curves begin at 0: so many knots come before the first window.
    std::size_t lead() const { return static_cast<std::size_t>(std::max(0.0, std::round(first_s / hop_s))); }
    std::size_t nearest(double period_s) const {
        const double at = std::log(period_s / periods_s.front()) / ratio_step;
        return static_cast<std::size_t>(
            std::clamp(std::lround(at), 0L, static_cast<long>(periods_s.size()) - 1));
    }
};

double at(const std::vector<float>& x, double position) {
    const auto i = static_cast<std::size_t>(position);
    if (i + 1 >= x.size()) return 0;
    const double part = position - static_cast<double>(i);
    return static_cast<double>(x[i]) * (1 - part) + static_cast<double>(x[i + 1]) * part;
}

// How alike a curve is to itself so many frames later, over its first `window` frames, for each lag below `lags`;
// what lies beyond the curve counts nothing. Several lags at once, each summed in one order.
std::vector<float> matches(std::span<const float> curve, std::size_t window, std::size_t lags) {
    constexpr std::size_t group = 4 * dsp::lane_count;
    std::vector<float> later(window + lags + group, 0.0f), out(lags + group);
    std::copy_n(curve.begin(), std::min(curve.size(), later.size()), later.begin());
    for (std::size_t lag = 0; lag < lags; lag += group) {
        dsp::Lanes sums[4] = {};
        for (std::size_t i = 0; i < window; ++i) {
            const dsp::Lanes now = dsp::all_lanes(curve[i]);
            for (std::size_t n = 0; n < 4; ++n)
                sums[n] += now * dsp::load_lanes(later.data() + i + lag + n * dsp::lane_count);
        }
        for (std::size_t n = 0; n < 4; ++n)
            dsp::store_lanes(sums[n], out.data() + lag + n * dsp::lane_count);
    }
    out.resize(lags);
    return out;
}

Tempogram tempogram(const OnsetStrength& onsets, const BeatOptions& options) {
    Tempogram out;
    // A margin on both sides, so that a curve may run past a limit for a while.
    const double slowest = 1.15 * 60 / options.slowest_bpm, fastest = 60 / options.fastest_bpm / 1.15;
    for (double p = fastest; p <= slowest * 1.0001; p *= std::exp(ratio_step))
        out.periods_s.push_back(p);
    const auto lags = static_cast<std::size_t>(4 * slowest / onsets.frame_s) + 2;
    const auto window = static_cast<std::size_t>(window_s / onsets.frame_s);
    const auto hop = static_cast<std::size_t>(about_hop_s / onsets.frame_s);
    out.hop_s = static_cast<double>(hop) * onsets.frame_s;
    const auto& x = onsets.all;
    out.first_s = (static_cast<double>(onsets.first) + 0.5 * static_cast<double>(window)) * onsets.frame_s;
    for (std::size_t start = onsets.first; start < onsets.last; start += hop) {
        if (start > onsets.first && start + window / 2 > onsets.last) break; // covered by those before
        const std::size_t end = std::min(start + window, onsets.last);
        const std::vector<float> match =
            matches(std::span(x).subspan(start, onsets.last - start), end - start, lags);
        const float power = std::max(1e-6f, match[0]);
        std::vector<float> salience;
        for (double period : out.periods_s) {
            double sum = 0, weights = 0;
            for (int m = 1; m <= 4; ++m) {
                sum += at(match, m * period / onsets.frame_s) / m;
                weights += 1.0 / m;
            }
            salience.push_back(static_cast<float>(std::max(0.0, sum / weights)) / power);
        }
        out.windows.push_back(std::move(salience));
    }
    return out;
}

// The best line through the tempogram: from window to window a tempo may drift for little and jump for much.
// `barred`: periods of the grid that may not be used.
TempoCurve best_curve(const Tempogram& map, const BeatOptions& options, const std::vector<char>& barred) {
    constexpr float drift_cost = 0.01f; // a hundredth more or less in 2.5 s
    constexpr float jump_cost = 0.50f;  // a change of up to a fifth: 0.1 of salience over five windows
    constexpr float leap_cost = 5.00f;  // any other: half or double the tempo is most often the same music
    constexpr float prior_weight = 0.03f;
    const std::size_t n = map.windows.size(), m = map.periods_s.size();
    TempoCurve out;
    out.step_s = map.hop_s;
    if (n == 0) return out;
    std::vector<float> own(m);
    for (std::size_t p = 0; p < m; ++p)
        own[p] =
            barred[p] ? -10.0f : prior_weight * static_cast<float>(tempo_prior(map.periods_s[p], options));
    std::vector<float> best(m), next(m);
    std::vector<std::uint16_t> from(n * m);
    constexpr long reach = 22;
    for (std::size_t p = 0; p < m; ++p)
        best[p] = map.windows[0][p] + own[p];
    for (std::size_t w = 1; w < n; ++w) {
        const auto top = static_cast<std::size_t>(std::max_element(best.begin(), best.end()) - best.begin());
        for (std::size_t p = 0; p < m; ++p) {
            float value = best[top] - leap_cost;
            std::size_t chosen = top;
            for (long d = -reach; d <= reach; ++d) {
                const long q = static_cast<long>(p) + d;
                if (q < 0 || q >= static_cast<long>(m)) continue;
                const float other = best[static_cast<std::size_t>(q)] -
                                    std::min(jump_cost, drift_cost * static_cast<float>(std::abs(d)));
                if (other > value) {
                    value = other;
                    chosen = static_cast<std::size_t>(q);
                }
            }
            next[p] = value + map.windows[w][p] + own[p];
            from[w * m + p] = static_cast<std::uint16_t>(chosen);
        }
        std::swap(best, next);
    }
    auto p = static_cast<std::size_t>(std::max_element(best.begin(), best.end()) - best.begin());
    std::vector<double> path(n);
    double sum = 0;
    for (std::size_t w = n; w-- > 0;) {
        path[w] = map.periods_s[p];
        sum += static_cast<double>(map.windows[w][p]);
        p = w > 0 ? from[w * m + p] : p;
    }
    out.period_s.assign(map.lead(), path.front());
    out.period_s.insert(out.period_s.end(), path.begin(), path.end());
    out.salience = sum / static_cast<double>(n);
    return out;
}

double salience_of(const Tempogram& map, const TempoCurve& curve) {
    double sum = 0;
    const auto lead = curve.period_s.size() - map.windows.size();
    for (std::size_t w = 0; w < map.windows.size(); ++w)
        sum += static_cast<double>(map.windows[w][map.nearest(curve.period_s[lead + w])]);
    return map.windows.empty() ? 0 : sum / static_cast<double>(map.windows.size());
}

// The clearest tempi of the song as a whole: a song of one tempo that a line through unclear windows missed.
std::vector<TempoCurve> constant_curves(const Tempogram& map, const BeatOptions& options) {
    const std::size_t m = map.periods_s.size();
    std::vector<double> sum(m, 0.0);
    for (const auto& window : map.windows)
        for (std::size_t p = 0; p < m; ++p)
            sum[p] += static_cast<double>(window[p]);
    std::vector<std::pair<double, std::size_t>> peaks;
    for (std::size_t p = 1; p + 1 < m; ++p)
        if (sum[p] > 0 && sum[p] >= sum[p - 1] && sum[p] > sum[p + 1])
            peaks.push_back({sum[p] * std::exp(0.5 * tempo_prior(map.periods_s[p], options)), p});
    std::stable_sort(peaks.begin(), peaks.end(),
                     [](const auto& a, const auto& b) { return a.first > b.first; });
    if (peaks.size() > 2) peaks.resize(2);
    std::vector<TempoCurve> out;
    for (const auto& [value, p] : peaks) {
        TempoCurve curve;
        curve.step_s = map.hop_s;
        curve.period_s.assign(map.lead() + map.windows.size(), map.periods_s[p]);
        out.push_back(std::move(curve));
    }
    return out;
}

} // namespace

double TempoCurve::quantile_s(double share) const {
    auto sorted = period_s;
    const auto place =
        sorted.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(sorted.size() - 1));
    std::nth_element(sorted.begin(), place, sorted.end());
    return *place;
}

double tempo_prior(double period_s, const BeatOptions& options) {
    const double octaves = std::log2(period_s * options.favoured_bpm / 60);
    constexpr double spread = 0.7; // octaves; half or double of 120 costs one nat
    return -0.5 * (octaves / spread) * (octaves / spread);
}

std::vector<TempoCurve> guess_tempi(const OnsetStrength& onsets, const BeatOptions& options) {
    const auto map = tempogram(onsets, options);
    std::vector<TempoCurve> out;
    if (map.windows.empty()) return out;
    const double slowest = 60 / options.slowest_bpm, fastest = 60 / options.fastest_bpm;
    const auto offer = [&](TempoCurve curve, double kin) {
        for (double& p : curve.period_s)
            p *= kin;
        const double middle = curve.quantile_s(0.5);
        if (curve.quantile_s(0.2) < fastest * 0.98 || curve.quantile_s(0.8) > slowest * 1.02) return;
        for (const TempoCurve& other : out)
            if (std::abs(std::log(other.quantile_s(0.5) / middle)) < 0.04) return;
        curve.salience = salience_of(map, curve);
        out.push_back(std::move(curve));
    };
    std::vector<char> barred(map.periods_s.size(), 0);
    std::vector<TempoCurve> roots;
    for (int round = 0; round < 3; ++round) {
        auto curve = best_curve(map, options, barred);
        if (curve.salience <= 0 && round > 0) break;
        for (std::size_t p = 0; p < barred.size(); ++p)
            for (double period : curve.period_s)
                if (std::abs(std::log(map.periods_s[p] / period)) < 0.05) barred[p] = 1;
        roots.push_back(std::move(curve));
    }
    for (const TempoCurve& root : roots)
        offer(root, 1);
    for (TempoCurve& constant : constant_curves(map, options))
        offer(std::move(constant), 1);
    for (double kin : {2.0, 0.5, 1.5, 2.0 / 3, 3.0, 1.0 / 3, 4.0 / 3, 0.75, 4.0, 0.25})
        offer(roots.front(), kin);
    for (std::size_t r = 1; r < roots.size(); ++r)
        for (double kin : {2.0, 0.5})
            offer(roots[r], kin);
    if (out.size() > 12) out.resize(12);
    if (out.empty() && options.bpm) { // said so, though nothing in the song says it
        TempoCurve said;
        said.step_s = map.hop_s;
        said.period_s.assign(map.lead() + map.windows.size(), 60 / *options.bpm);
        out.push_back(std::move(said));
    }
    return out;
}

} // namespace downball::beats
