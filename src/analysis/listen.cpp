// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/analysis/listen.h"

#include "analysis/clip_text.h"
#include "analysis/song_text.h"

#include "downball/base/in_order.h"
#include "downball/base/long_work.h"
#include "downball/base/text.h"
#include "downball/beats/beat_finder.h"
#include "downball/impacts/impact_finder.h"
#include "downball/media/audio_reader.h"
#include "downball/media/probe.h"

#include <algorithm>
#include <filesystem>
#include <fmt/format.h>
#include <optional>

namespace downball::analysis {

namespace {

// Errors of a stage know nothing of files; this one says which file it was.
Error at_file(Error error, const std::string& path) {
    error.where = error.where.empty() ? path : path + ", " + error.where;
    return error;
}

// Feeds a whole file to a finder, block by block; gives its length in samples a channel.
template <class Finder>
Result<std::size_t> feed(Finder& finder, media::AudioReader& reader, const LongWork& work) {
    std::size_t frames = 0;
    while (true) {
        if (work.stop_asked()) return stopped_in_time();
        auto block = reader.read();
        if (!block) return block.error();
        if (block->frames == 0) return frames;
        frames += block->frames;
        if (auto pushed = finder.push(*block); !pushed) return pushed.error();
    }
}

// The finder counts from the first sample, which lies at `later_s` in media seconds. Instants are printed to the
// microsecond, so one read off a list may lie that little before it.
beats::BeatOptions beat_options(const SongHints& hints, double later_s) {
    beats::BeatOptions options;
    options.bpm = hints.bpm;
    options.level = hints.tempo == TempoHint::half    ? beats::TempoLevel::half
                    : hints.tempo == TempoHint::twice ? beats::TempoLevel::twice
                                                      : beats::TempoLevel::as_found;
    options.beats_per_bar = hints.beats_per_bar;
    if (hints.beat_one_s) {
        const double from_first_s = *hints.beat_one_s - later_s;
        options.downbeat_s = from_first_s > -1e-6 ? std::max(0.0, from_first_s) : from_first_s;
    }
    return options;
}

// `broke_off`: reading the file failed half-way.
Result<BeatGrid> beats_in(const std::string& path, const MediaInfo& info, const SongHints& hints,
                          bool& broke_off, const LongWork& work) {
    auto reader = media::AudioReader::open(path, {.song = true});
    if (!reader) return reader.error();
    // Editors count a song that has pictures from the first of them, as they do with every clip.
    const double later_s = info.has_video && info.audio ? info.audio->first_s : 0;

    const auto options = beat_options(hints, later_s);
    beats::BeatFinder finder(reader->rate_hz(), reader->channels(), options);
    const auto frames = feed(finder, *reader, work);
    if (!frames) return at_file(frames.error(), path);
    broke_off = reader->broke_off();
    const double length_s = static_cast<double>(*frames) / reader->rate_hz();
    if (options.downbeat_s && (*options.downbeat_s < 0 || *options.downbeat_s >= length_s))
        return Error{
            Fault::bad_input,
            fmt::format("beat one was said to be at {} s, but the song sounds from {:.2f} s to {:.2f} s; "
                        "give a second between them",
                        *hints.beat_one_s, later_s, later_s + length_s),
            path};
    auto grid = finder.finish(work);
    if (!grid) return at_file(grid.error(), path);
    for (auto& beat : grid->beats)
        beat.seconds += later_s;
    grid->duration_s += later_s;
    return grid;
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

Result<Hearing> hear(const std::string& path, const MediaInfo* media, double floor, const LongWork& work) {
    auto reader = media::AudioReader::open(path);
    if (!reader) return reader.error();
    impacts::ImpactFinder finder(reader->rate_hz(), reader->channels(), {.floor = floor});
    const auto frames = feed(finder, *reader, work);
    if (!frames) return at_file(frames.error(), path);
    auto hearing = finder.finish();
    if (!hearing) return at_file(hearing.error(), path);
    for (auto& contact : hearing->contacts)
        contact.sound_s += reader->first_s();
    auto notes = reader->notes();
    if (media)
        note_pictures_unheard(*media, reader->first_s(),
                              reader->first_s() + static_cast<double>(*frames) / reader->rate_hz(), notes);
    hearing->notes.insert(hearing->notes.begin(), notes.begin(), notes.end());
    hearing->broke_off = reader->broke_off();
    return hearing;
}

// JSON holds no other text, and what comes back must be what was kept.
bool can_be_written(const ClipFound& clip) {
    const auto& media = clip.media;
    std::vector<std::string> texts{media.device, media.card_reel, media.created.value_or(""), clip.unheard};
    if (media.start) texts.push_back(media.start->label);
    if (clip.hearing) texts.insert(texts.end(), clip.hearing->notes.begin(), clip.hearing->notes.end());
    return std::ranges::all_of(texts, [](const std::string& text) { return valid_utf8(text); });
}

std::optional<ClipFound> known(const Identity& file, Folder& folder) {
    const auto found = folder.find(clip_document(file.id));
    return found ? clip_from(*found) : std::nullopt;
}

// Half a file, a file that grew meanwhile: what they hold is not what their content will hold when they are whole. Who
// has not listened takes nothing away from another who has, in the meantime.
void keep(const Identity& file, const ClipFound& clip, Folder& folder) {
    const bool whole = !clip.media.broke_off && !(clip.hearing && clip.hearing->broke_off);
    if (!whole || !can_be_written(clip) || !Folder::stands(file)) return;
    if (const auto other = clip.listened() ? std::nullopt : known(file, folder); !other || !other->listened())
        folder.keep(clip_document(file.id), to_json(clip));
}

// The file's own account of itself and what was found in it, as far as the folder has it.
Result<ClipFound> known_or_probed(const Identity& file, Folder& folder, bool& fresh) {
    fresh = false;
    auto clip = known(file, folder);
    if (!clip) {
        auto media = media::probe(file.path, {.id = false});
        if (!media) return media.error();
        clip = ClipFound{std::move(*media), {}, ""};
        fresh = true;
    }
    clip->media.path = file.path;
    clip->media.name = std::filesystem::path(file.path).filename().string();
    clip->media.id = file.id;
    return std::move(*clip);
}

Result<ClipFound> find_in(const Identity& file, bool listen, Folder& folder, const LongWork& work) {
    bool fresh = false;
    auto clip = known_or_probed(file, folder, fresh);
    if (!clip) return clip.error();
    if (listen && !clip->listened()) {
        auto hearing = hear(file.path, &clip->media, 0, work);
        if (!hearing && hearing.error().fault != Fault::bad_input) return hearing.error();
        if (hearing)
            clip->hearing = std::move(*hearing);
        else
            clip->unheard = hearing.error().what;
        fresh = true;
    }
    if (fresh) keep(file, *clip, folder);
    return clip;
}

// One clip among several. Sound that cannot be used leaves the pictures, if there are any.
void take_in(const std::string& path, bool listen, ClipFound clip, double floor, Surveyed& surveyed) {
    const Error deaf{Fault::bad_input, clip.unheard, path};
    const bool heard = listen && clip.media.audio;
    if (heard && clip.hearing) {
        std::erase_if(clip.hearing->contacts,
                      [&](const Heard& contact) { return contact.confidence < floor; });
        surveyed.heard.emplace(path, std::move(*clip.hearing));
    } else if (heard && !clip.unheard.empty()) {
        if (!clip.media.has_video) {
            surveyed.failed.emplace(path, deaf);
            return;
        }
        surveyed.unheard.emplace(path, deaf);
    }
    surveyed.media.emplace(path, std::move(clip.media));
}

} // namespace

Result<BeatGrid> find_beats(const std::string& path, const SongHints& hints, const LongWork& work) {
    const auto info = media::probe(path, {.id = false});
    if (!info) return info.error();
    bool broke_off = false;
    return beats_in(path, *info, hints, broke_off, work);
}

Result<SongFound> find_song(const std::string& path, const SongHints& hints, Folder& folder,
                            const LongWork& work) {
    const auto file = folder.identify(path);
    if (!file) return file.error();
    auto clip = find_in(*file, false, folder, work);
    if (!clip) return clip.error();
    const auto document = song_document(file->id, hints);
    if (const auto found = folder.find(document))
        if (auto grid = grid_from(*found)) return SongFound{std::move(clip->media), std::move(*grid)};
    bool broke_off = false;
    auto grid = beats_in(path, clip->media, hints, broke_off, work);
    if (!grid) return grid.error();
    if (!broke_off && Folder::stands(*file)) folder.keep(document, to_json(*grid));
    return SongFound{std::move(clip->media), std::move(*grid)};
}

Result<Hearing> find_contacts(const std::string& path, double floor, const LongWork& work) {
    const auto media = media::probe(path, {.id = false});
    return hear(path, media ? &*media : nullptr, floor, work);
}

Result<ClipFound> find_clip(const std::string& path, bool listen, Folder& folder, const LongWork& work,
                            std::string* kept_at) {
    const auto file = folder.identify(path);
    if (!file) return file.error();
    auto clip = find_in(*file, listen, folder, work);
    if (clip && kept_at) *kept_at = folder.path_of(clip_document(file->id));
    return clip;
}

Result<Surveyed> survey(const std::vector<Wanted>& clips, double floor, Folder& folder,
                        const LongWork& work) {
    Surveyed surveyed;
    std::optional<Error> stopped;
    const auto make = [&](std::size_t i) -> Result<ClipFound> {
        if (work.stop_asked()) return stopped_in_time();
        return find_clip(clips[i].path, clips[i].listen, folder, {{}, work.stop});
    };
    in_order(clips.size(), all_hands(), clips.size(), make, [&](std::size_t i, Result<ClipFound> clip) {
        const auto& path = clips[i].path;
        if (clip) {
            take_in(path, clips[i].listen, std::move(*clip), floor, surveyed);
        } else if (clip.error().fault == Fault::interrupted) {
            stopped = clip.error();
        } else {
            surveyed.failed.emplace(path, clip.error());
        }
        work.report(static_cast<double>(i + 1) / static_cast<double>(clips.size()));
        return !stopped;
    });
    if (stopped || work.stop_asked()) return stopped_in_time();
    return surveyed;
}

} // namespace downball::analysis
