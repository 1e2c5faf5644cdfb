// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "impacts/kin.h"

#include "impacts/alike.h"
#include "impacts/curve_model.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace downball::impacts {
namespace {

// Likeness of two spectra whatever their levels. A band says as much as it stands above the noise in both.
float sounds_alike(const Candidate& a, const Candidate& b) {
    constexpr float clear_rise = 3, least_say = 0.05f, far_apart = 5, farthest = 3, scale = 0.5f;
    std::array<float, dsp::band_count> say{}, apart{};
    float whole = 0, mean = 0;
    for (std::size_t i = 1; i < dsp::band_count; ++i) {
        say[i] = least_say + std::min({a.rise[i], b.rise[i], clear_rise});
        apart[i] = std::clamp(a.colour[i] - b.colour[i], -far_apart, far_apart);
        whole += say[i];
        mean += say[i] * apart[i];
    }
    mean /= whole;
    float sum = 0;
    for (std::size_t i = 1; i < dsp::band_count; ++i)
        sum += say[i] * std::min(farthest, std::abs(apart[i] - mean));
    return std::exp(-sum / (scale * whole));
}

} // namespace

void judge_kin(Near& near, std::size_t index) {
    constexpr double one_sound_s = 0.1; // nearer ones are the same contact, or its echo
    constexpr float likely = -6;        // less than this has no say, and takes no time
    Candidate& self = near[index];
    float most = 0, sum = 0, level = 0, sure = 0;
    for (const Candidate& other : near) {
        const double apart_s = std::abs(other.seconds - self.seconds);
        if (apart_s < one_sound_s || apart_s > kin_reach_s || other.features[Feature::first] < likely)
            continue;
        const auto chance =
            static_cast<float>(probability(static_cast<double>(other.features[Feature::first])));
        const float alike = chance * sounds_alike(self, other);
        most = std::max(most, alike);
        sum += alike;
        level += chance * std::clamp(level_ratio_ln(self, other), -6.0f, 6.0f);
        sure += chance;
    }
    self.features[Feature::kin_most] = most;
    self.features[Feature::kin_sum] = std::log1p(sum);
    self.features[Feature::kin_sure] = std::log1p(sure);
    // Drawn towards 0 while hardly anything is known of the contacts around.
    self.features[Feature::kin_level] = level / (sure + 0.5f);
}

} // namespace downball::impacts
