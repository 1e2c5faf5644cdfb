// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "analysis/feed.h"
#include "analysis/find_in.h"
#include "analysis/song_text.h"

#include "downball/analysis/listen.h"
#include "downball/beats/beat_finder.h"
#include "downball/media/audio_reader.h"
#include "downball/media/probe.h"

#include <algorithm>
#include <fmt/format.h>

namespace downball::analysis {

namespace {

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

// `doubtful`: reading failed half-way, or some of the sound is lost, so that this must not be kept.
Result<BeatGrid> beats_in(const std::string& path, const MediaInfo& info, const SongHints& hints,
                          bool& doubtful, const LongWork& work) {
    auto reader = media::AudioReader::open(path, {.song = true});
    if (!reader) return reader.error();
    // Editors count a song that has pictures from the first of them, as they do with every clip.
    const double later_s = info.has_video && info.audio ? info.audio->first_s : 0;

    const auto options = beat_options(hints, later_s);
    beats::BeatFinder finder(reader->rate_hz(), reader->channels(), options);
    const auto frames = feed(finder, *reader, work);
    if (!frames) return at_file(frames.error(), path);
    doubtful = reader->broke_off() || reader->lossy();
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

} // namespace

Result<BeatGrid> find_beats(const std::string& path, const SongHints& hints, const LongWork& work) {
    const auto info = media::probe(path, {.id = false});
    if (!info) return info.error();
    bool doubtful = false;
    return beats_in(path, *info, hints, doubtful, work);
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
    bool doubtful = false;
    auto grid = beats_in(path, clip->media, hints, doubtful, work);
    if (!grid) return grid.error();
    if (!doubtful && Folder::stands(*file)) folder.keep(document, to_json(*grid));
    return SongFound{std::move(clip->media), std::move(*grid)};
}

} // namespace downball::analysis
