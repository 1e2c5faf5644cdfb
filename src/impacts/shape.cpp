// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "impacts/shape.h"

#include "impacts/placement.h"
#include "impacts/tone.h"

#include <algorithm>
#include <cmath>

namespace downball::impacts {
namespace {

using dsp::band_count;
using dsp::Bands;

constexpr std::size_t body_first = 1, slap_first = 4; // bands 1-3 are the body, 4-7 the slap
constexpr float relative_floor = 1e-5f;
constexpr float lowest_share = 1e-4f; // an excess smaller than this part of its peak is as good as gone

Bands mean(const FrameStore& store, std::int64_t from, std::int64_t to) {
    from = std::max(from, store.oldest());
    to = std::min(to, store.frames());
    Bands sum{};
    if (from >= to) return sum;
    for (std::int64_t i = from; i < to; ++i)
        for (std::size_t b = 0; b < band_count; ++b)
            sum[b] += store.frame(i)[b];
    for (float& s : sum)
        s /= static_cast<float>(to - from);
    return sum;
}

// Highest mean over a few frames in the first 15 ms; low bands are slow and get longer.
Bands peak(const FrameStore& store, std::int64_t onset) {
    Bands top{};
    for (std::size_t b = 0; b < band_count; ++b) {
        const std::int64_t span = b < slap_first ? 6 : 3;
        const std::int64_t reach = b < body_first + 2 ? 22 : 15;
        for (std::int64_t start = onset; start + span <= std::min(onset + reach, store.frames()); ++start) {
            float sum = 0;
            for (std::int64_t i = start; i < start + span; ++i)
                sum += store.frame(i)[b];
            top[b] = std::max(top[b], sum / static_cast<float>(span));
        }
    }
    return top;
}

struct Parts {
    float body = 0, slap = 0;
};

// Excess over the noise in units of the noise, so that the clearest bands speak loudest.
Parts whitened_excess(const Bands& energy, const Bands& noise) {
    Parts parts;
    for (std::size_t b = body_first; b < band_count; ++b) {
        if (!(noise[b] > 0)) continue;
        const float excess = std::max(0.0f, energy[b] / noise[b] - 1);
        (b < slap_first ? parts.body : parts.slap) += excess;
    }
    return parts;
}

float ln_share(float part, float whole) {
    return whole > 0 ? std::log(std::max(lowest_share, part / whole)) : 0.0f;
}

float ln_ratio(float a, float b) {
    if (!(a > 0) && !(b > 0)) return 0;
    return std::log(std::clamp(b > 0 ? a / b : 1e6f, 1e-6f, 1e6f));
}

// ln(ms) between 15 % and 85 % of the peak of the whitened envelope.
float attack(const FrameStore& store, const Bands& noise, std::int64_t onset_fine, double fine_s) {
    constexpr std::int64_t back = 24, ahead = 80, smooth = 4;
    std::array<float, static_cast<std::size_t>(back + ahead)> level{};
    for (std::size_t i = 0; i < level.size(); ++i) {
        for (std::int64_t k = 0; k < smooth; ++k) {
            const std::int64_t at = onset_fine - back + static_cast<std::int64_t>(i) + k;
            if (at < store.oldest() * fine_per_frame || at >= store.frames() * fine_per_frame) continue;
            for (std::size_t b = 2; b < band_count; ++b)
                if (noise[b] > 0) level[i] += store.fine(at)[b] / noise[b];
        }
    }
    const auto top = std::max_element(level.begin(), level.end());
    float base = 0;
    for (std::size_t i = 0; i < 16; ++i)
        base += level[i] / 16;
    const auto last_below = [&](float share) {
        const float threshold = base + share * (*top - base);
        auto at = top;
        while (at != level.begin() && *at > threshold)
            --at;
        return at - level.begin();
    };
    const auto frames = static_cast<float>(last_below(0.85f) - last_below(0.15f));
    return std::log((frames + 1) * static_cast<float>(fine_s) * 1000);
}

} // namespace

Candidate measure(const FrameStore& store, const FrontEnd& front, std::int64_t frame) {
    const double fine_s = front.frame_s() / static_cast<double>(fine_per_frame);
    const double onset_fine = place_onset(store, front.bank(), fine_s, frame);
    const auto onset = static_cast<std::int64_t>(onset_fine) / fine_per_frame;

    const Bands top = peak(store, onset);
    const Bands before = mean(store, onset - 40, onset - 2);
    const Bands& floor = store.noise(std::max(store.oldest(), onset - 3));
    float total = 0;
    for (const float t : top)
        total += t;
    Bands noise{}, excess{};
    float before_over_floor = 0;
    for (std::size_t b = 0; b < band_count; ++b) {
        noise[b] = std::max({before[b], floor[b], relative_floor * total});
        excess[b] = std::max(0.0f, top[b] - noise[b]);
        if (b >= 2 && floor[b] > 0)
            before_over_floor += std::log(std::clamp(before[b] / floor[b], 0.1f, 1e4f)) / 6;
    }

    Candidate found;
    found.seconds = onset_fine * fine_s;
    FeatureVector& f = found.features;
    for (std::size_t b = 0; b < band_count; ++b) {
        // Where the rate holds no such band, the one below stands for it.
        const std::size_t of = front.bank().has(b) ? b : b - 1;
        found.rise[b] = noise[of] > 0 ? std::log(std::max(1.0f, top[of] / noise[of])) : 0.0f;
        f.values[b] = found.rise[b];
    }
    f[Feature::attack] = attack(store, noise, static_cast<std::int64_t>(onset_fine), fine_s);

    const Parts whole = whitened_excess(top, noise);
    const auto at = [&](std::int64_t from, std::int64_t to) {
        return whitened_excess(mean(store, onset + from, onset + to), noise);
    };
    f[Feature::slap_20] = ln_share(at(12, 26).slap, whole.slap);
    f[Feature::slap_60] = ln_share(at(45, 85).slap, whole.slap);
    f[Feature::slap_200] = ln_share(at(140, 250).slap, whole.slap);
    f[Feature::body_40] = ln_share(at(30, 55).body, whole.body);
    f[Feature::body_90] = ln_share(at(70, 115).body, whole.body);
    f[Feature::body_200] = ln_share(at(140, 250).body, whole.body);

    const float body = excess[1] + excess[2] + excess[3];
    const float slap = excess[4] + excess[5] + excess[6] + excess[7];
    found.level = body + slap;
    for (std::size_t b = body_first; b < band_count; ++b) {
        found.colour[b] = ln_share(excess[b], found.level);
        f.values[static_cast<std::size_t>(Feature::share_115) + b - body_first] = found.colour[b];
    }
    f[Feature::balance] = ln_ratio(body, slap);
    f[Feature::rumble] = ln_ratio(excess[0], body);
    f[Feature::low_colour] = ln_ratio(excess[1], excess[2] + excess[3]);
    f[Feature::slap_colour] = ln_ratio(excess[4] + excess[5], excess[6] + excess[7]);
    f[Feature::before] = before_over_floor;
    const Tones tones = tones_after(front, (onset + 6) * front.frame_samples());
    f[Feature::tone] = tones.whistle;
    f[Feature::ring] = tones.ring;
    return found;
}

} // namespace downball::impacts
