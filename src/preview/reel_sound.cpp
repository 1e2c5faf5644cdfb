// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "preview/reel_sound.h"

#include "preview/picture_feed.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <fmt/format.h>
#include <system_error>
#include <utility>

namespace downball::preview {

namespace {

constexpr double highest_peak_db = -1;

void amplify(Stereo& sound, double gain_db) {
    const auto gain = static_cast<float>(std::pow(10, gain_db / 20));
    for (auto& channel : sound)
        for (float& sample : channel)
            sample *= gain;
}

// One gain for all: a limiter would change how loud the hits are to one another. It is found on what is heard, since
// coding moves peaks, with each gain a little otherwise, and takes a little of the loudness; but first on what is not
// coded, which is quick and comes near. Ends within 0.1 LU of the target, or with the peak at most 0.3 dB under its
// limit; after three rounds with whatever keeps the limit.
Result<Level> bring_to(double target_lufs, Stereo& sound, const LongWork& work) {
    constexpr int enough = 3, most = 12;
    const auto go = [&](const Level& from) { // a peak comes to its limit from below
        amplify(sound, std::min(target_lufs - from.lufs, highest_peak_db - from.true_peak_db - 0.1));
    };
    if (const Level plain = level_of(sound); plain.lufs > -70) go(plain);
    for (int round = 1; round <= most; ++round) {
        const auto level = level_as_coded(sound, work);
        if (!level || level->lufs <= -70) return level;
        const double wanted_db = target_lufs - level->lufs,
                     allowed_db = highest_peak_db - level->true_peak_db;
        const bool kept = allowed_db >= 0 && wanted_db > -0.1;
        if (kept && (wanted_db < 0.1 || allowed_db < 0.3 || round > enough)) return level;
        go(*level);
    }
    return Error{Fault::internal, "no gain keeps the peaks of this sound", ""};
}

} // namespace

Result<ReelSound> reel_sound(const Timeline& timeline, const Options& options, const LongWork& work) {
    auto mix = mix_sound(timeline, options.natural_under_song_lu, work);
    if (!mix) return mix.error();
    const double target_lufs = options.form.loudness_lufs;
    const auto level = bring_to(target_lufs, mix->sound, work);
    if (!level) return level.error();
    if (level->lufs > -70 && level->lufs < target_lufs - 0.2)
        mix->notes.insert(mix->notes.begin(),
                          fmt::format("the preview has {:.1f} LUFS, not {:.1f}: louder, its peaks would pass "
                                      "{:.0f} dBTP",
                                      level->lufs, target_lufs, highest_peak_db));
    return ReelSound{std::move(*mix), *level};
}

Result<void> SoundAhead::start(const Timeline& timeline, const Options& options, const LongWork& work) {
    std::packaged_task<Result<ReelSound>()> task([&timeline, &options, stop = stop_.get_token()] {
        return reel_sound(timeline, options, {{}, stop});
    });
    made_ = task.get_future();
    asked_.emplace(work.stop, [stop = stop_]() mutable { stop.request_stop(); });
    try {
        thread_ = std::jthread(std::move(task));
    } catch (const std::system_error& problem) {
        return no_thread(problem);
    }
    return {};
}

bool SoundAhead::ready() const {
    return made_.wait_for(std::chrono::seconds(0)) == std::future_status::ready;
}

Result<ReelSound> SoundAhead::take() {
    return made_.get();
}

} // namespace downball::preview
