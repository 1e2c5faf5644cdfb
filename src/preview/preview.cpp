// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/preview/preview.h"

#include "preview/burn_in.h"
#include "preview/picture_feed.h"
#include "preview/sound_mix.h"

#include "downball/base/notes.h"
#include "downball/media/movie_writer.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace downball::preview {

namespace {

constexpr double highest_peak_db = -1;

int even(int pixels) {
    return std::max(2, pixels / 2 * 2);
}

media::PictureOptions pictures_of(const PreviewForm& form) {
    media::PictureOptions pictures;
    const int longer = even(form.longer_side_px), shorter = even(form.longer_side_px * 9 / 16);
    pictures.width = form.shape == PreviewShape::tall ? shorter : longer;
    pictures.height = form.shape == PreviewShape::wide ? shorter : longer;
    pictures.fill = form.shape != PreviewShape::wide;
    return pictures;
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

// Pictures that are cut to beats may flash without any one of them doing so. Measured on what the preview shows, 640
// pixels wide; pieces smaller than a cell of it, and what an editor adds, are not.
void tell_flashes(const Timeline& timeline, Made& made) {
    const auto label = [&](Frame at) {
        const auto written = to_timecode(timeline.start + at, timeline.rate, timeline.counting);
        return written ? *written : fmt::format("frame {}", at.n);
    };
    constexpr std::size_t most_shots = 4;
    for (const FlashStretch& one : made.flashes) {
        std::vector<std::string> shots;
        for (const VideoEvent& event : timeline.video)
            if (event.media && event.record.in <= one.last && event.record.out > one.first &&
                std::ranges::find(shots, event.shot) == shots.end())
                shots.push_back(event.shot);
        made.notes.emplace_back(fmt::format("from {} to {} it flashes{} {} times in a second, more than 3, "
                                            "which may harm people with photosensitive "
                                            "epilepsy (WCAG 2.3.1); shots {}",
                                            label(one.first), label(one.last), one.red ? " in red" : "",
                                            one.flashes, some_of(shots, most_shots)),
                                FrameRange{one.first, one.last + Frame{1}});
    }
}

} // namespace

Result<Made> make_preview(const Timeline& timeline, const std::string& path, const Options& options,
                          const LongWork& work) {
    const auto form = pictures_of(options.form);
    Made made;
    auto writer = media::MovieWriter::create(path, {form.width, form.height, timeline.rate});
    if (!writer) return writer.error();
    // It decodes ahead while the sound is made.
    PictureFeed feed(timeline, form);
    if (auto started = feed.start(std::clamp(std::thread::hardware_concurrency(), 2u, 4u)); !started)
        return started.error();
    auto mix = mix_sound(timeline, options.natural_under_song_lu, work);
    if (!mix) return mix.error();
    if (auto brought = bring_to(options.form.loudness_lufs, mix->sound, made, work); !brought)
        return brought.error();
    if (made.lufs > -70 && made.lufs < options.form.loudness_lufs - 0.2)
        made.notes.push_back(
            fmt::format("the preview has {:.1f} LUFS, not {:.1f}: louder, its peaks would pass {:.0f} dBTP",
                        made.lufs, options.form.loudness_lufs, highest_peak_db));
    FlashMeter flashes(form.width, form.height, timeline.rate);
    std::optional<BurnIn> burn_in;
    if (options.form.burn_in) burn_in.emplace(timeline, form.width, form.height);
    for (Frame k; k < timeline.length; k += Frame{1}) {
        if (work.stop_asked()) return stopped_in_time();
        auto picture = feed.next();
        flashes.push(picture);
        if (burn_in) burn_in->draw(picture, k);
        if (auto added = writer->add(picture); !added) return added.error();
        const auto from = static_cast<std::size_t>(sample_at(k, timeline.rate));
        const auto to = static_cast<std::size_t>(sample_at(k + Frame{1}, timeline.rate));
        if (auto added = writer->add(StereoBlock(mix->sound, from, to)); !added) return added.error();
        work.report(static_cast<double>(k.n + 1) / static_cast<double>(timeline.length.n));
    }
    if (auto done = writer->finish(); !done) return done.error();
    made.frames = timeline.length.n;
    made.flashes = flashes.stretches();
    tell_flashes(timeline, made);
    made.notes.insert(made.notes.end(), mix->notes.begin(), mix->notes.end());
    const auto lost = feed.notes();
    made.notes.insert(made.notes.end(), lost.begin(), lost.end());
    return made;
}

} // namespace downball::preview
