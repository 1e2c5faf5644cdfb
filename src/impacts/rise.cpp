// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "impacts/rise.h"

#include <algorithm>
#include <cmath>

namespace downball::impacts {
namespace {

// A low band swings more by chance, having fewer independent values a millisecond, and gets less say.
constexpr std::array<float, dsp::band_count> say{0.0f, 0.5f, 0.7f, 0.9f, 1.0f, 1.0f, 1.0f, 0.6f};
constexpr std::array<std::int64_t, dsp::band_count> span_frames{10, 10, 10, 8, 6, 5, 5, 5};
constexpr std::int64_t before_frames = 40; // what came before: so far back,
constexpr std::int64_t guard_frames = 3;   // but not the frames just ahead of the rise
constexpr float highest = 4.0f;            // ln; more is no surer
constexpr float lowest_sum = 1.6f;         // a local high below this is no candidate
constexpr float relative_floor = 1e-5f;    // of the sum over bands: keeps digital silence finite

} // namespace

RiseFinder::RiseFinder(const dsp::BandBank& bank) {
    float have = 0, all = 0;
    for (std::size_t b = 0; b < dsp::band_count; ++b) {
        weight_[b] = bank.has(b) ? say[b] : 0;
        have += weight_[b];
        all += say[b];
    }
    for (float& w : weight_)
        w *= all / have;
}

float RiseFinder::rise_at(const FrameStore& store, std::int64_t frame) const {
    const std::int64_t from = std::max<std::int64_t>(store.oldest(), frame - before_frames);
    const std::int64_t to = frame - guard_frames;
    dsp::Bands before{}, after{};
    for (std::int64_t i = from; i < to; ++i)
        for (std::size_t b = 0; b < dsp::band_count; ++b)
            before[b] += store.frame(i)[b];
    for (std::int64_t i = 0; i < ahead; ++i)
        for (std::size_t b = 0; b < dsp::band_count; ++b)
            if (i < span_frames[b]) after[b] += store.frame(frame + i)[b];
    float total = 0;
    for (std::size_t b = 0; b < dsp::band_count; ++b) {
        before[b] /= static_cast<float>(to - from);
        after[b] /= static_cast<float>(span_frames[b]);
        total += after[b];
    }
    if (!(total > 0)) return 0;
    const dsp::Bands& noise = store.noise(to);
    dsp::Bands ratio{};
    float most = 0;
    for (std::size_t b = 0; b < dsp::band_count; ++b) {
        ratio[b] = after[b] / std::max({before[b], noise[b], relative_floor * total});
        const float above = std::max(0.0f, ratio[b] - 1);
        // At least ln(1 + above): its Pade approximant of order 2, 1.
        most += weight_[b] * (above * (6 + above) / (6 + 4 * above));
    }
    if (most < 0.99f * lowest_sum) return 0; // most frames: no logarithm is asked for
    float sum = 0;
    for (std::size_t b = 0; b < dsp::band_count; ++b)
        if (ratio[b] > 1) sum += weight_[b] * std::min(highest, std::log(ratio[b]));
    return sum;
}

std::optional<std::int64_t> RiseFinder::step(const FrameStore& store) {
    const std::int64_t frame = store.frames() - ahead;
    std::move(rises_.begin() + 1, rises_.end(), rises_.begin());
    rises_.back() = frame >= first ? rise_at(store, frame) : 0;
    // The middle beats all before it and is not beaten after: of equals the first one counts.
    const auto middle = static_cast<std::size_t>(reach);
    const float high = rises_[middle];
    if (high < lowest_sum) return {};
    for (std::size_t i = 0; i < rises_.size(); ++i)
        if (i < middle ? rises_[i] >= high : rises_[i] > high) return {};
    return frame - reach;
}

} // namespace downball::impacts
