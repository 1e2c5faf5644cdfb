// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/preview/preview.h"

#include "preview/burn_in.h"
#include "preview/picture_feed.h"
#include "preview/reel_sound.h"
#include "preview/tell.h"

#include "downball/media/movie_writer.h"
#include "downball/preview/still_pictures.h"

#include <algorithm>
#include <fmt/format.h>
#include <optional>
#include <utility>

namespace downball::preview {

namespace {

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

} // namespace

Result<Made> make_preview(const Timeline& timeline, const std::string& path, const Options& options,
                          const LongWork& work) {
    const auto form = pictures_of(options.form);
    Made made;
    auto writer = media::MovieWriter::create(path, {form.width, form.height, timeline.rate});
    if (!writer) return writer.error();
    SoundAhead ahead;
    if (auto started = ahead.start(timeline, options, work); !started) return started.error();
    PictureFeed feed(timeline, form);
    if (auto started = feed.start(std::clamp(std::thread::hardware_concurrency(), 2u, 4u)); !started)
        return started.error();
    std::optional<ReelSound> sound;
    std::size_t written = 0; // samples
    // Of the sound, once it is there, what lies before a record frame.
    const auto add_sound = [&](Frame before) -> Result<void> {
        if (!sound) {
            auto taken = ahead.take();
            if (!taken) return taken.error();
            sound = std::move(*taken);
        }
        const auto from = std::exchange(written, static_cast<std::size_t>(sample_at(before, timeline.rate)));
        return writer->add(StereoBlock(sound->mix.sound, from, written));
    };
    FlashMeter flashes(form.width, form.height, timeline.rate);
    std::optional<BurnIn> burn_in;
    if (options.form.burn_in) burn_in.emplace(timeline, form.width, form.height);
    BlackMeter black;
    FreezeMeter frozen(timeline.rate);
    for (Frame k; k < timeline.length; k += Frame{1}) {
        if (work.stop_asked()) return stopped_in_time();
        auto picture = feed.next();
        flashes.push(picture);
        black.push(picture);
        frozen.push(picture);
        if (burn_in) burn_in->draw(picture, k);
        if (auto added = writer->add(picture); !added) return added.error();
        if (sound || ahead.ready())
            if (auto added = add_sound(k + Frame{1}); !added) return added.error();
        work.report(static_cast<double>(k.n + 1) / static_cast<double>(timeline.length.n));
    }
    if (auto added = add_sound(timeline.length); !added) return added.error();
    if (auto done = writer->finish(); !done) return done.error();
    made.frames = timeline.length.n;
    made.lufs = sound->level.lufs;
    made.true_peak_db = sound->level.true_peak_db;
    made.flashes = flashes.stretches();
    const auto lost = feed.notes();
    made.black = unplanned_black(timeline, black.stretches());
    made.frozen = unplanned_stills(timeline, frozen.stretches(), made.black, lost);
    for (const auto& told : {tell_flashes(timeline, made.flashes), tell_black(timeline, made.black),
                             tell_frozen(timeline, made.frozen)})
        made.notes.insert(made.notes.end(), told.begin(), told.end());
    made.notes.insert(made.notes.end(), sound->mix.notes.begin(), sound->mix.notes.end());
    made.notes.insert(made.notes.end(), lost.begin(), lost.end());
    return made;
}

} // namespace downball::preview
