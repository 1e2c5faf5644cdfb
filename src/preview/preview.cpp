// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/preview/preview.h"

#include "preview/burn_in.h"
#include "preview/picture_feed.h"
#include "preview/reel_sound.h"

#include "downball/base/notes.h"
#include "downball/media/movie_writer.h"

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

// Pictures that are cut to beats may flash without any one of them doing so. Measured on what the preview shows, at its
// size; pieces smaller than a cell of it, and what an editor adds, are not.
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
    for (Frame k; k < timeline.length; k += Frame{1}) {
        if (work.stop_asked()) return stopped_in_time();
        auto picture = feed.next();
        flashes.push(picture);
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
    tell_flashes(timeline, made);
    made.notes.insert(made.notes.end(), sound->mix.notes.begin(), sound->mix.notes.end());
    const auto lost = feed.notes();
    made.notes.insert(made.notes.end(), lost.begin(), lost.end());
    return made;
}

} // namespace downball::preview
