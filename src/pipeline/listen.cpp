// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/pipeline/listen.h"

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

const Error stopped{Fault::interrupted, "stopped on request; nothing was written", ""};

// Errors of a stage know nothing of files; this one says which file it was.
Error at_file(Error error, const std::string& path) {
    error.where = error.where.empty() ? path : path + ", " + error.where;
    return error;
}

// Feeds a whole file to a finder, block by block.
template <class Finder>
Result<void> feed(Finder& finder, media::AudioReader& reader, const LongWork& work) {
    while (true) {
        if (work.stop_asked()) return stopped;
        auto block = reader.read();
        if (!block) return block.error();
        if (block->frames == 0) return {};
        if (auto pushed = finder.push(*block); !pushed) return pushed.error();
    }
}

} // namespace

Result<BeatGrid> find_beats(const std::string& path, const LongWork& work) {
    auto reader = media::AudioReader::open(path, {.song = true});
    if (!reader) return reader.error();
    beats::BeatFinder finder(reader->rate_hz(), reader->channels());
    if (auto fed = feed(finder, *reader, work); !fed) return at_file(fed.error(), path);
    auto grid = finder.finish(work);
    if (!grid) return at_file(grid.error(), path);
    // Editors count a song that has pictures from the first of them, as they do with every clip.
    const auto info = media::probe(path);
    if (!info) return info.error();
    const double later_s = info->has_video && info->audio ? info->audio->first_s : 0;
    for (auto& beat : grid->beats)
        beat.seconds += later_s;
    grid->duration_s += later_s;
    return grid;
}

Result<Hearing> find_contacts(const std::string& path, double floor, const LongWork& work) {
    auto reader = media::AudioReader::open(path);
    if (!reader) return reader.error();
    impacts::ImpactFinder finder(reader->rate_hz(), reader->channels(), {.floor = floor});
    if (auto fed = feed(finder, *reader, work); !fed) return at_file(fed.error(), path);
    auto hearing = finder.finish();
    if (!hearing) return at_file(hearing.error(), path);
    for (auto& contact : hearing->contacts)
        contact.sound_s += reader->first_s();
    hearing->notes.insert(hearing->notes.begin(), reader->notes().begin(), reader->notes().end());
    return hearing;
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
                found[i].hearing = find_contacts(clips[i].path, floor, {{}, work.stop});
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
    if (work.stop_asked()) return stopped;

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
        else
            surveyed.failed.emplace(path, found[i].hearing->error());
    }
    return surveyed;
}

} // namespace downball::pipeline
