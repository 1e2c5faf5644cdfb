// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "analysis/read_clip.h"

#include "analysis/feed.h"

#include "downball/impacts/impact_finder.h"
#include "downball/media/clip_reader.h"
#include "downball/media/content_id.h"

#include <fmt/format.h>
#include <vector>

namespace downball::analysis {

namespace {

// What was heard, and the media seconds between which there was sound.
struct Listened {
    Hearing hearing;
    std::vector<std::string> notes; // of the file, which come before those of the hearing
    double first_s = 0, end_s = 0;
};

Result<Listened> listen_to(media::AudioReader& sound, double floor, const LongWork& work) {
    impacts::ImpactFinder finder(sound.rate_hz(), sound.channels(), {.floor = floor});
    const auto frames = feed(finder, sound, work);
    if (!frames) return frames.error();
    auto hearing = finder.finish();
    if (!hearing) return hearing.error();
    for (auto& contact : hearing->contacts)
        contact.sound_s += sound.first_s();
    hearing->broke_off = sound.broke_off();
    return Listened{std::move(*hearing), sound.notes(), sound.first_s(),
                    sound.first_s() + static_cast<double>(*frames) / sound.rate_hz()};
}

// Where there are pictures and no sound, nobody listened. Recorders begin and end their two tracks within a
// quarter of a second of each other as a rule (common practice, no source): that is not worth telling.
void note_pictures_unheard(const MediaInfo& media, double first_s, double end_s,
                           std::vector<std::string>& notes) {
    constexpr double worth_telling_s = 0.25;
    if (!media.has_video) return;
    if (first_s > worth_telling_s)
        notes.push_back(
            fmt::format("the sound begins at {:.3f} s: no contacts could be heard before", first_s));
    if (end_s < media.duration_s - worth_telling_s)
        notes.push_back(fmt::format(
            "the sound ends at {:.3f} s, the pictures at {:.3f} s: no contacts could be heard after", end_s,
            media.duration_s));
}

} // namespace

Result<ClipFound> read_clip(const std::string& path, bool listen, double floor, const LongWork& work) {
    auto reader = media::ClipReader::open(path, {.id = false});
    if (!reader) return reader.error();
    auto* sound = listen ? reader->sound() : nullptr;
    auto listened = sound ? listen_to(*sound, floor, work) : Result<Listened>(Error{});
    if (sound && !listened && listened.error().fault != Fault::bad_input) return listened.error();
    const bool lossy = sound && sound->lossy();
    auto media = reader->finish();
    if (!media) return media.error();
    ClipFound clip{std::move(*media), {}, "", false};
    // Other libraries may well hear such a clip. And of a large file the id is of samples: a copy that was damaged between
    // them would be taken for the good one.
    clip.doubtful = reader->unheard() || (lossy && clip.media.bytes > media::wholly_hashed_bytes);
    if (listened) {
        auto& notes = listened->notes;
        note_pictures_unheard(clip.media, listened->first_s, listened->end_s, notes);
        clip.hearing = std::move(listened->hearing);
        clip.hearing->notes.insert(clip.hearing->notes.begin(), notes.begin(), notes.end());
    } else if (sound) {
        clip.unheard = listened.error().what;
    }
    return clip;
}

} // namespace downball::analysis
