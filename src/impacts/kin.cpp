// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "impacts/kin.h"

#include "impacts/alike.h"
#include "impacts/curve_model.h"

#include <algorithm>
#include <cmath>

namespace downball::impacts {

void judge_kin(Near& near, std::size_t index) {
    constexpr double one_sound_s = 0.1; // nearer ones are the same contact, or its echo
    Candidate& self = near[index];
    float most = 0, sum = 0, level = 0, sure = 0;
    for (const Candidate& other : near) {
        const double apart_s = std::abs(other.seconds - self.seconds);
        if (apart_s < one_sound_s || apart_s > kin_reach_s) continue;
        const auto chance =
            static_cast<float>(probability(static_cast<double>(other.features[Feature::first])));
        const float alike = chance * likeness(self.colour, other.colour, 1.0f, 7);
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
