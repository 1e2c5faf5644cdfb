// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "impacts/listener.h"
#include "support/clip_synth.h"

#include <vector>

namespace downball::bench {

// All candidates of a clip, judged by the first two of the models.
inline impacts::Near candidates_of(const test::MixedClip& clip, const impacts::Models& models) {
    impacts::Near found;
    impacts::Listener listener(clip.rate_hz, static_cast<int>(clip.channels.size()), models,
                               [&](const impacts::Candidate& c) { found.push_back(c); });
    std::vector<const float*> channels;
    for (const auto& c : clip.channels)
        channels.push_back(c.data());
    listener.push({channels, clip.channels[0].size()});
    listener.finish();
    return found;
}

} // namespace downball::bench
