// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/pipeline/listen.h"

#include "downball/base/long_work.h"
#include "downball/beats/beat_finder.h"
#include "downball/impacts/impact_finder.h"
#include "downball/media/audio_reader.h"
#include "downball/media/probe.h"

#include <algorithm>
#include <atomic>
#include <fmt/format.h>
#include <mutex>
#include <optional>
#include <thread>

namespace downball::pipeline {

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

} // namespace

Result<BeatGrid> find_beats(const std::string& path, const SongHints& hints, const LongWork& work) {
    auto reader = media::AudioReader::open(path, {.song = true});
    if (!reader) return reader.error();
    // Editors count a song that has pictures from the first of them, as they do with every clip.
    const auto info = media::probe(path);
    if (!info) return info.error();
    const double later_s = info->has_video && info->audio ? info->audio->first_s : 0;

    const auto options = beat_options(hints, later_s);
    beats::BeatFinder finder(reader->rate_hz(), reader->channels(), options);
    const auto frames = feed(finder, *reader, work);
    if (!frames) return at_file(frames.error(), path);
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

namespace {

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

Result<Hearing> hear(const std::string& path, const Result<MediaInfo>& media, double floor,
                     const LongWork& work) {
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
    return hearing;
}

} // namespace

Result<Hearing> find_contacts(const std::string& path, double floor, const LongWork& work) {
    return hear(path, media::probe(path), floor, work);
}

Result<Surveyed> survey(const std::vector<Wanted>& clips, double floor, const LongWork& work) {
    struct Found {
        std::optional<Result<MediaInfo>> media;
        std::optional<Result<Hearing>> hearing;
    };
    std::vector<Found> found(clips.size());
    std::atomic<std::size_t> next = 0;
    std::mutex telling;
    std::size_t done = 0;

    const auto work_on_clips = [&] {
        for (std::size_t i = next++; i < clips.size() && !work.stop_asked(); i = next++) {
            found[i].media = media::probe(clips[i].path);
            if (clips[i].listen && *found[i].media && found[i].media->value().audio)
                found[i].hearing = hear(clips[i].path, *found[i].media, floor, {{}, work.stop});
            const std::scoped_lock lock(telling);
            work.report(static_cast<double>(++done) / static_cast<double>(clips.size()));
        }
    };
    {
        const auto hands =
            std::min<std::size_t>(std::max(1u, std::thread::hardware_concurrency()), clips.size());
        std::vector<std::jthread> helpers;
        for (std::size_t i = 1; i < hands; ++i)
            helpers.emplace_back(work_on_clips);
        work_on_clips();
    }
    if (work.stop_asked()) return stopped_in_time();

    Surveyed surveyed;
    for (std::size_t i = 0; i < clips.size(); ++i) {
        const auto& path = clips[i].path;
        if (!*found[i].media) {
            surveyed.failed.emplace(path, found[i].media->error());
            continue;
        }
        surveyed.media.emplace(path, found[i].media->value());
        if (!found[i].hearing) continue;
        if (*found[i].hearing)
            surveyed.heard.emplace(path, found[i].hearing->value());
        else if (found[i].media->value().has_video)
            surveyed.unheard.emplace(path, found[i].hearing->error());
        else
            surveyed.failed.emplace(path, found[i].hearing->error());
    }
    return surveyed;
}

} // namespace downball::pipeline
