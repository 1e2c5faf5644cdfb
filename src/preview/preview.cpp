// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/preview/preview.h"

#include "preview/picture_feed.h"
#include "preview/sound_mix.h"
#include "preview/tell.h"

#include "downball/media/movie_writer.h"
#include "downball/preview/still_pictures.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace downball::preview {

namespace {

constexpr double highest_peak_db = -1;

int even(int pixels) {
    return std::max(2, pixels / 2 * 2);
}

media::PictureOptions form_of(const Options& options) {
    media::PictureOptions form;
    const int longer = even(options.longer_side), shorter = even(options.longer_side * 9 / 16);
    form.width = options.shape == Shape::tall ? shorter : longer;
    form.height = options.shape == Shape::wide ? shorter : longer;
    form.fill = options.shape != Shape::wide;
    return form;
}

void amplify(Stereo& sound, double gain_db) {
    const auto gain = static_cast<float>(std::pow(10, gain_db / 20));
    for (auto& channel : sound)
        for (float& sample : channel)
            sample *= gain;
}

// One gain for all: a limiter would change how loud the hits are to one another. It is found on what is heard, since
// coding moves peaks, with each gain a little otherwise, and takes a little of the loudness. Ends within 0.1 LU of the
// target, or with the peak at most 0.3 dB under its limit; after three rounds with whatever keeps the limit.
Result<void> bring_to(double target_lufs, Stereo& sound, Made& made, const LongWork& work) {
    constexpr int enough = 3, most = 12;
    for (int round = 1; round <= most; ++round) {
        const auto level = level_as_coded(sound, work);
        if (!level) return level.error();
        made.lufs = level->lufs;
        made.true_peak_db = level->true_peak_db;
        if (level->lufs <= -70) return {};
        const double wanted_db = target_lufs - level->lufs,
                     allowed_db = highest_peak_db - level->true_peak_db;
        const bool kept = allowed_db >= 0 && wanted_db > -0.1;
        if (kept && (wanted_db < 0.1 || allowed_db < 0.3 || round > enough)) return {};
        amplify(sound, std::min(wanted_db, allowed_db - 0.1)); // a peak comes to its limit from below
    }
    return Error{Fault::internal, "no gain keeps the peaks of this sound", ""};
}

} // namespace

Result<Made> make_preview(const Timeline& timeline, const std::string& path, const Options& options,
                          const LongWork& work) {
    const auto form = form_of(options);
    Made made;
    auto writer = media::MovieWriter::create(path, {form.width, form.height, timeline.rate});
    if (!writer) return writer.error();
    // It decodes ahead while the sound is made.
    PictureFeed feed(timeline, form);
    if (auto started = feed.start(std::clamp(std::thread::hardware_concurrency(), 2u, 4u)); !started)
        return started.error();
    auto mix = mix_sound(timeline, options.natural_under_song_lu, work);
    if (!mix) return mix.error();
    if (auto brought = bring_to(options.target_lufs, mix->sound, made, work); !brought)
        return brought.error();
    if (made.lufs > -70 && made.lufs < options.target_lufs - 0.2)
        made.notes.push_back(
            fmt::format("the preview has {:.1f} LUFS, not {:.1f}: louder, its peaks would pass {:.0f} dBTP",
                        made.lufs, options.target_lufs, highest_peak_db));
    FlashMeter flashes(form.width, form.height, timeline.rate);
    BlackMeter black;
    FreezeMeter frozen(timeline.rate);
    for (Frame k; k < timeline.length; k += Frame{1}) {
        if (work.stop_asked())
            return Error{Fault::interrupted, "stopped on request; nothing was written", ""};
        auto picture = feed.next();
        flashes.push(picture);
        black.push(picture);
        frozen.push(picture);
        if (auto added = writer->add(picture); !added) return added.error();
        const auto from = static_cast<std::size_t>(sample_at(k, timeline.rate));
        const auto to = static_cast<std::size_t>(sample_at(k + Frame{1}, timeline.rate));
        if (auto added = writer->add(StereoBlock(mix->sound, from, to)); !added) return added.error();
        work.report(static_cast<double>(k.n + 1) / static_cast<double>(timeline.length.n));
    }
    if (auto done = writer->finish(); !done) return done.error();
    made.frames = timeline.length.n;
    made.flashes = flashes.stretches();
    const auto lost = feed.notes();
    made.black = unplanned_black(timeline, black.stretches());
    made.frozen = unplanned_stills(timeline, frozen.stretches(), made.black, lost);
    for (const auto& told : {tell_flashes(timeline, made.flashes), tell_black(timeline, made.black),
                             tell_frozen(timeline, made.frozen)})
        made.notes.insert(made.notes.end(), told.begin(), told.end());
    made.notes.insert(made.notes.end(), mix->notes.begin(), mix->notes.end());
    made.notes.insert(made.notes.end(), lost.begin(), lost.end());
    return made;
}

} // namespace downball::preview
