// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beats/bars.h"

#include "beats/bar_weights.h"

#include <algorithm>
#include <cmath>

namespace downball::beats {

namespace {

constexpr std::array<int, 3> metres{2, 3, 4};

std::size_t index_of(int metre) {
    return static_cast<std::size_t>(metre - metres.front());
}

// Mean 0, spread 1, clipped at 3: no single crash decides the song.
std::vector<double> standardised(std::vector<double> x) {
    double sum = 0, squares = 0;
    for (double v : x) {
        sum += v;
        squares += v * v;
    }
    const auto n = static_cast<double>(std::max<std::size_t>(1, x.size()));
    const double mean = sum / n, spread = std::sqrt(std::max(0.0, squares / n - mean * mean));
    for (double& v : x)
        v = spread > 1e-4 ? std::clamp((v - mean) / spread, -3.0, 3.0) : 0;
    return x;
}

// The step in loudness and bass from the four beats before to the four beats from here on, upwards and
// downwards: parts begin on downbeats.
std::vector<double> steps_of(const std::vector<double>& loudness, const std::vector<double>& bass) {
    const std::size_t n = loudness.size();
    std::vector<double> out(n, 0.0);
    for (std::size_t i = 4; i + 4 <= n; ++i) {
        double loud = 0, low = 0;
        for (std::size_t j = 0; j < 4; ++j) {
            loud += loudness[i + j] - loudness[i - 1 - j];
            low += bass[i + j] - bass[i - 1 - j];
        }
        out[i] = std::abs(loud) + 0.5 * std::abs(low);
    }
    return out;
}

double fits(const std::array<float, BarCues::kinds>& beat, int metre, int position) {
    const auto& weight = bar_weights::place[index_of(metre)][static_cast<std::size_t>(position)];
    double sum = 0;
    for (std::size_t k = 0; k < BarCues::kinds; ++k)
        sum += weight[k] * static_cast<double>(beat[k]);
    return sum;
}

// Positions along the beats, 0 = downbeat.
std::vector<int> count_through(const BarCues& cues, const BarGuess& guess) {
    constexpr double slip_cost = 25;
    const std::size_t n = cues.beat.size(), m = static_cast<std::size_t>(guess.metre);
    // That music begins on a downbeat speaks for the count of the whole song, in the units of a mean over bars. Here
    // it is spread over the first eight bars, or a slip on the first beat would be a cheap way around it.
    const std::size_t reach = std::min(n, 8 * m);
    const double begin = bar_weights::begins[index_of(guess.metre)] * static_cast<double>(n) /
                         static_cast<double>(m * std::max<std::size_t>(1, reach));
    std::vector<double> best(n * m, 0.0);
    std::vector<int> from(n * m, 0);
    for (std::size_t i = 0; i < n; ++i)
        for (std::size_t p = 0; p < m; ++p) {
            double top = p == (m - static_cast<std::size_t>(guess.downbeat)) % m ? 0 : -slip_cost;
            if (i > 0) {
                top = -1e18;
                for (std::size_t q = 0; q < m; ++q) {
                    const double value = best[(i - 1) * m + q] - ((q + 1) % m == p ? 0 : slip_cost);
                    if (value > top) {
                        top = value;
                        from[i * m + p] = static_cast<int>(q);
                    }
                }
            }
            best[i * m + p] = top + fits(cues.beat[i], guess.metre, static_cast<int>(p));
            if (i < reach && (i + 8 * m * n - cues.first) % m == p) best[i * m + p] += begin;
        }
    const auto end = best.end() - static_cast<std::ptrdiff_t>(m);
    auto last = static_cast<std::size_t>(std::max_element(end, best.end()) - end);
    std::vector<int> out(n);
    for (std::size_t i = n; i-- > 0;) {
        out[i] = static_cast<int>(last);
        last = static_cast<std::size_t>(from[i * m + last]);
    }
    return out;
}

} // namespace

Likeness likeness(const BeatSteps& steps) {
    constexpr std::size_t registers = 4, width = BeatSteps::steps * registers;
    constexpr std::array<std::size_t, Likeness::kinds> apart{1, 2, 3, 4, 6, 8};
    Likeness out;
    if (steps.beats < 12) return out;
    std::vector<float> inside(steps.beats * width);
    std::vector<double> mean(width, 0.0);
    for (std::size_t row = 0; row < steps.beats * BeatSteps::steps; ++row)
        for (std::size_t reg = 0; reg < registers; ++reg) {
            const float x = steps.value[row * BeatSteps::kinds + reg];
            inside[row * registers + reg] = x;
            mean[(row % BeatSteps::steps) * registers + reg] += static_cast<double>(x);
        }
    // Each place's own mean off: what is in every beat says nothing.
    double power = 0;
    for (std::size_t i = 0; i < inside.size(); ++i) {
        inside[i] -= static_cast<float>(mean[i % width] / static_cast<double>(steps.beats));
        power += static_cast<double>(inside[i] * inside[i]);
    }
    power = power / static_cast<double>(steps.beats) + 1e-9;
    std::array<double, registers> whole{};
    for (std::size_t i = 0; i < width; ++i)
        whole[i % registers] += mean[i] / static_cast<double>(steps.beats * BeatSteps::steps);
    double same = 0;
    for (std::size_t i = 0; i < width; ++i) {
        const double off = mean[i] / static_cast<double>(steps.beats) - whole[i % registers];
        same += off * off;
    }
    out.constant = same / (same + power);
    for (std::size_t k = 0; k < apart.size(); ++k) {
        double sum = 0;
        for (std::size_t i = 0; i + apart[k] * width < inside.size(); ++i)
            sum += static_cast<double>(inside[i] * inside[i + apart[k] * width]);
        out.value[k] = sum / (power * static_cast<double>(steps.beats - apart[k]));
    }
    return out;
}

double thirds_of(const BeatSteps& steps, std::size_t shift) {
    constexpr std::array<double, 4> weight{0.8, 1.0, 0.8, 0.2}; // a snare tells more than a hat
    double thirds = 0, half = 0;
    for (std::size_t i = 0; i < steps.beats; ++i)
        for (std::size_t reg = 0; reg < weight.size(); ++reg) {
            const auto kind = static_cast<BeatSteps::Kind>(reg);
            thirds += weight[reg] *
                      static_cast<double>(steps.at(i, 4 + shift, kind) + steps.at(i, 8 + shift, kind));
            half += 2 * weight[reg] * static_cast<double>(steps.at(i, 6 + shift, kind));
        }
    return thirds + half > 1e-9 ? (thirds - half) / (thirds + half) : 0;
}

BarCues bar_cues(const BeatSteps& steps, std::size_t shift, const Likeness& likeness, std::size_t first) {
    constexpr std::array<BeatSteps::Kind, 5> struck{BeatSteps::low, BeatSteps::mid, BeatSteps::presence,
                                                    BeatSteps::high, BeatSteps::harmony};
    BarCues out;
    out.likeness = likeness;
    out.first = first;
    out.thirds = thirds_of(steps, shift);
    out.octaves = steps.period_s > 0 ? std::log2(0.5 / steps.period_s) : 0;
    const std::size_t n = steps.beats;
    out.beat.resize(n);
    for (std::size_t k = 0; k < struck.size(); ++k) {
        std::vector<double> x(n);
        for (std::size_t i = 0; i < n; ++i)
            x[i] = static_cast<double>(steps.at(i, shift, struck[k]));
        x = standardised(std::move(x));
        for (std::size_t i = 0; i < n; ++i)
            out.beat[i][k] = static_cast<float>(x[i]);
    }
    std::vector<double> loudness(n, 0.0), bass(n, 0.0);
    for (std::size_t i = 0; i < n; ++i)
        for (std::size_t s = 0; s < BeatSteps::steps; ++s) {
            loudness[i] +=
                static_cast<double>(steps.at(i, s + shift, BeatSteps::loudness)) / BeatSteps::steps;
            bass[i] += static_cast<double>(steps.at(i, s + shift, BeatSteps::bass)) / BeatSteps::steps;
        }
    const auto step = standardised(steps_of(loudness, bass));
    for (std::size_t i = 0; i < n; ++i)
        out.beat[i][BarCues::step] = static_cast<float>(step[i]);
    return out;
}

double likelihood_of_first(const std::vector<BarGuess>& guesses) {
    double sum = 0;
    for (const BarGuess& g : guesses)
        sum += std::exp(g.score - guesses.front().score);
    return 1 / sum;
}

std::vector<BarGuess> rank_bars(const BarCues& cues) {
    std::vector<BarGuess> out;
    const std::size_t n = cues.beat.size();
    if (n < 8) return out;
    for (int metre : metres) {
        const auto m = static_cast<std::size_t>(metre);
        std::vector<std::array<double, BarCues::kinds>> mean(m);
        std::vector<double> count(m, 0.0);
        for (std::size_t i = 0; i < n; ++i) {
            count[i % m] += 1;
            for (std::size_t k = 0; k < BarCues::kinds; ++k)
                mean[i % m][k] += static_cast<double>(cues.beat[i][k]);
        }
        double common = bar_weights::metre[index_of(metre)] +
                        bar_weights::thirds[index_of(metre)] * cues.thirds +
                        bar_weights::octaves[index_of(metre)] * cues.octaves;
        for (std::size_t k = 0; k < Likeness::kinds; ++k)
            common += bar_weights::likeness[index_of(metre)][k] * cues.likeness.value[k];
        for (std::size_t downbeat = 0; downbeat < m; ++downbeat) {
            double sum = common;
            for (std::size_t p = 0; p < m; ++p) {
                const std::size_t r = (downbeat + p) % m;
                for (std::size_t k = 0; k < BarCues::kinds; ++k)
                    sum += bar_weights::place[index_of(metre)][p][k] * mean[r][k] / count[r];
            }
            if (cues.first % m == downbeat) sum += bar_weights::begins[index_of(metre)];
            out.push_back({metre, static_cast<int>(downbeat), sum});
        }
    }
    std::stable_sort(out.begin(), out.end(),
                     [](const BarGuess& a, const BarGuess& b) { return a.score > b.score; });
    return out;
}

// Six are two threes: the threes as for metre 3, then which of every two is the first, as for metre 2.
static Bars in_six(const BarCues& cues) {
    Bars threes = find_bars(cues, 3);
    if (threes.position.empty()) return threes;
    BarCues firsts = cues;
    firsts.beat.clear();
    for (std::size_t i = 0; i < threes.position.size(); ++i)
        if (threes.position[i] == 1) {
            if (i <= cues.first) firsts.first = firsts.beat.size();
            firsts.beat.push_back(cues.beat[i]);
        }
    const Bars pairs = find_bars(firsts, 2);
    Bars out = std::move(threes);
    out.beats_per_bar = 6;
    std::size_t bar = 0;
    int half = pairs.position.empty() || pairs.position.front() == 1 ? 3 : 0;
    for (int& position : out.position) {
        if (position == 1) {
            half = pairs.position.empty() ? 3 - half : (pairs.position[bar] == 1 ? 0 : 3);
            ++bar;
        }
        position += half;
    }
    out.confidence *= pairs.confidence;
    return out;
}

Bars find_bars(const BarCues& cues, int metre) {
    Bars out;
    if (metre == 6) return in_six(cues);
    auto guesses = rank_bars(cues);
    if (metre > 0) std::erase_if(guesses, [&](const BarGuess& g) { return g.metre != metre; });
    if (guesses.empty()) return out;
    out.beats_per_bar = guesses.front().metre;
    for (int p : count_through(cues, guesses.front()))
        out.position.push_back(p + 1);
    out.confidence = likelihood_of_first(guesses);
    return out;
}

} // namespace downball::beats
