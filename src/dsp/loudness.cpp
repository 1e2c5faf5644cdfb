// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/dsp/loudness.h"

#include <algorithm>
#include <cmath>
#include <ebur128.h>
#include <utility>

namespace downball::dsp {

namespace {

constexpr unsigned long cell_ms = 20;
constexpr double offset_db = 0.691; // makes 997 Hz come out as it goes in
constexpr std::size_t block_cells = 20, step_cells = 5;

struct Close {
    void operator()(ebur128_state* s) const { ebur128_destroy(&s); }
};

double power_of(double loudness) {
    return std::isfinite(loudness) ? std::pow(10, (loudness + offset_db) / 10) : 0;
}

} // namespace

double LoudnessCurve::mean(double from_s, double to_s) const {
    if (cell_s <= 0 || power.empty()) return 0;
    const double end = static_cast<double>(power.size());
    const double from = std::clamp(from_s / cell_s, 0.0, end), to = std::clamp(to_s / cell_s, 0.0, end);
    double sum = 0;
    for (auto k = static_cast<std::size_t>(from); k < power.size() && static_cast<double>(k) < to; ++k)
        sum += power[k] * (std::min(to, static_cast<double>(k) + 1) - std::max(from, static_cast<double>(k)));
    return to > from ? sum / (to - from) : 0;
}

double lufs(double power) {
    return std::max(-120.0, 10 * std::log10(std::max(power, 1e-30)) - offset_db);
}

double integrated_lufs(const LoudnessCurve& curve) {
    std::vector<double> blocks;
    for (std::size_t at = 0; at + block_cells <= curve.power.size(); at += step_cells) {
        double sum = 0;
        for (std::size_t k = at; k < at + block_cells; ++k)
            sum += curve.power[k];
        blocks.push_back(sum / block_cells);
    }
    const auto mean_above = [&](double gate) {
        double sum = 0;
        std::size_t count = 0;
        for (double block : blocks)
            if (block > gate) {
                sum += block;
                ++count;
            }
        return count > 0 ? sum / static_cast<double>(count) : 0;
    };
    const double silence = power_of(-70);
    const double audible = mean_above(silence);
    return std::max(-70.0, lufs(mean_above(std::max(silence, audible / 10))));
}

double loudness_weight(std::size_t channel, std::size_t channels) {
    if (channels < 4) return 1;
    if (channels == 4) return channel < 2 ? 1 : 1.41;
    if (channels == 5) return channel < 3 ? 1 : 1.41;
    if (channel == 3) return 0;
    if (channels < 8) return channel < 4 ? 1 : 1.41;
    return channel == 6 || channel == 7 ? 1.41 : 1; // 7.1: the pair at the sides comes last
}

struct LoudnessMeter::State {
    std::unique_ptr<ebur128_state, Close> library;
    std::size_t channels = 0, cell = 0;
    std::vector<float> held; // interleaved, less than a cell
    LoudnessCurve out;

    void take_cell() {
        double loudness = -HUGE_VAL;
        if (library && ebur128_add_frames_float(library.get(), held.data(), cell) == EBUR128_SUCCESS)
            ebur128_loudness_window(library.get(), cell_ms, &loudness);
        out.power.push_back(power_of(loudness));
        held.clear();
    }
};

LoudnessMeter::LoudnessMeter(double rate_hz, std::size_t channels) : state_(std::make_unique<State>()) {
    State& s = *state_;
    s.channels = std::max<std::size_t>(1, channels);
    const auto rate = static_cast<unsigned long>(std::max(50L, std::lround(rate_hz)));
    // Momentary mode keeps no history and no gates of its own: the cheapest that filters at all.
    s.library.reset(ebur128_init(static_cast<unsigned>(s.channels), rate, EBUR128_MODE_M));
    s.cell = rate * cell_ms / 1000; // as the library counts its window
    s.out.cell_s = static_cast<double>(s.cell) / std::max(50.0, rate_hz);
    for (std::size_t c = 0; s.library && c < s.channels; ++c) {
        const double weight = loudness_weight(c, s.channels);
        ebur128_set_channel(s.library.get(), static_cast<unsigned>(c),
                            weight == 0  ? EBUR128_UNUSED
                            : weight > 1 ? EBUR128_LEFT_SURROUND
                                         : EBUR128_LEFT);
    }
}
LoudnessMeter::LoudnessMeter(LoudnessMeter&&) noexcept = default;
LoudnessMeter& LoudnessMeter::operator=(LoudnessMeter&&) noexcept = default;
LoudnessMeter::~LoudnessMeter() = default;

std::size_t LoudnessMeter::cell_samples() const {
    return state_->cell;
}

void LoudnessMeter::push(const PlanarBlock& block) {
    State& s = *state_;
    for (std::size_t at = 0; at < block.frames;) {
        const std::size_t had = s.held.size() / s.channels;
        const std::size_t now = std::min(s.cell - had, block.frames - at);
        s.held.resize((had + now) * s.channels);
        for (std::size_t c = 0; c < s.channels; ++c) {
            const float* from = block.channels[c] + at;
            float* to = s.held.data() + had * s.channels + c;
            for (std::size_t i = 0; i < now; ++i)
                to[i * s.channels] = from[i];
        }
        at += now;
        if (had + now == s.cell) s.take_cell();
    }
}

LoudnessCurve LoudnessMeter::finish() {
    return std::move(state_->out);
}

struct TruePeakMeter::State {
    std::unique_ptr<ebur128_state, Close> library;
    std::size_t channels = 0;
    std::vector<float> interleaved;
};

TruePeakMeter::TruePeakMeter(double rate_hz, std::size_t channels) : state_(std::make_unique<State>()) {
    state_->channels = std::max<std::size_t>(1, channels);
    state_->library.reset(ebur128_init(static_cast<unsigned>(state_->channels),
                                       static_cast<unsigned long>(std::max(50L, std::lround(rate_hz))),
                                       EBUR128_MODE_TRUE_PEAK));
}
TruePeakMeter::TruePeakMeter(TruePeakMeter&&) noexcept = default;
TruePeakMeter& TruePeakMeter::operator=(TruePeakMeter&&) noexcept = default;
TruePeakMeter::~TruePeakMeter() = default;

void TruePeakMeter::push(const PlanarBlock& block) {
    State& s = *state_;
    s.interleaved.resize(block.frames * s.channels);
    for (std::size_t c = 0; c < s.channels; ++c)
        for (std::size_t i = 0; i < block.frames; ++i)
            s.interleaved[i * s.channels + c] = block.channels[c][i];
    if (s.library && block.frames > 0)
        ebur128_add_frames_float(s.library.get(), s.interleaved.data(), block.frames);
}

double TruePeakMeter::peak() const {
    double highest = 0;
    for (std::size_t c = 0; state_->library && c < state_->channels; ++c) {
        double peak = 0;
        ebur128_true_peak(state_->library.get(), static_cast<unsigned>(c), &peak);
        highest = std::max(highest, peak);
    }
    return highest;
}

} // namespace downball::dsp
