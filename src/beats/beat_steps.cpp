// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beats/beat_steps.h"

#include "beats/beat_times.h"

#include <algorithm>
#include <cmath>

namespace downball::beats {

BeatSteps beat_steps(const OnsetStrength& onsets, const std::vector<double>& frames) {
    BeatSteps out;
    if (frames.size() < 2) return out;
    out.beats = frames.size() - 1;
    out.period_s = median_gap(frames) * onsets.frame_s;
    out.value.assign(out.beats * BeatSteps::steps * BeatSteps::kinds, 0.0f);
    const auto last = static_cast<long>(onsets.frames()) - 1;
    for (std::size_t i = 0; i < out.beats; ++i) {
        const double step = (frames[i + 1] - frames[i]) / static_cast<double>(BeatSteps::steps);
        const long reach = std::clamp(std::lround(0.5 * step), 1L, 3L);
        for (std::size_t s = 0; s < BeatSteps::steps; ++s) {
            const long centre = std::lround(frames[i] + static_cast<double>(s) * step);
            float* row = out.value.data() + (i * BeatSteps::steps + s) * BeatSteps::kinds;
            for (long k = std::max(0L, centre - reach); k <= std::min(last, centre + reach); ++k) {
                const auto at = static_cast<std::size_t>(k);
                for (std::size_t reg = 0; reg < OnsetStrength::registers; ++reg)
                    row[reg] = std::max(row[reg], std::min(4.0f, onsets.in[reg][at]));
                row[BeatSteps::all] = std::max(row[BeatSteps::all], std::min(4.0f, onsets.all[at]));
            }
            if (centre < 0 || centre > last) continue;
            row[BeatSteps::harmony] = onsets.harmony[static_cast<std::size_t>(centre)];
            // The middle of the step, past the onset: what sounds, not how it begins.
            const auto sounding = static_cast<std::size_t>(std::min(last, centre + std::lround(0.5 * step)));
            row[BeatSteps::loudness] = onsets.loudness_db[sounding];
            row[BeatSteps::bass] = onsets.bass_db[sounding];
        }
    }
    return out;
}

} // namespace downball::beats
