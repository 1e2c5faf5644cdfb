// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/impacts/control.h"

#include "bench/impacts/candidates.h"
#include "impacts/contacts.h"

namespace downball::bench {
namespace {

std::vector<impacts::Scored> score(const test::MixedClip& clip, const impacts::Models& models) {
    std::vector<impacts::Scored> scored;
    for (const impacts::Candidate& c : candidates_of(clip, models))
        scored.push_back(scored_of(models, c));
    return scored;
}

Found by_company(const test::MixedClip& clip) {
    const impacts::Models& models = control_models();
    return impacts::contacts_of(score(clip, models), models, {.floor = 0});
}

Found by_sound(const test::MixedClip& clip) {
    Found found;
    for (const auto& c :
         merge_close(score(clip, impacts::fitted_models()), impacts::ImpactOptions{}.min_gap_s))
        found.push_back({c.seconds, impacts::probability(c.log_odds)});
    return found;
}

} // namespace

Detector control() {
    return {"control", by_company};
}

Detector without_rallies() {
    return {"no rallies", by_sound};
}

} // namespace downball::bench
