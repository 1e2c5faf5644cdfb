// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/song_event.h"

#include "pipeline/places.h"

#include "downball/analysis/song_as_cut.h"
#include "downball/beats/song_cut.h"
#include "downball/media/cut_song_file.h"
#include "downball/model/source_count.h"

#include <algorithm>
#include <filesystem>
#include <fmt/format.h>

namespace downball::pipeline {

namespace {

namespace fs = std::filesystem;

// The record is whole frames long, and so is what is asked of the song.
beats::SongWish wish_for(const Material& material, SongEvent event) {
    const auto& song = material.job.song;
    const auto& delivery = material.job.limits.delivery;
    beats::SongWish wish;
    wish.jump = event == SongEvent::cut && song.jump.value_or(true);
    wish.start_s = song.start_s;
    wish.longest_rest_s = material.job.limits.pacing.longest_s;
    if (!delivery.length_s && !wish.start_s) wish.start_s = 0; // the whole song
    const double wanted_s = delivery.length_s.value_or(material.beats.duration_s - *wish.start_s);
    if (const Frame frames = frame_at(wanted_s, delivery.rate); frames > Frame{0})
        wish.length_s = to_seconds(frames, delivery.rate);
    return wish;
}

void note_cut(const SongCut& cut, std::vector<std::string>& notes) {
    if (cut.pieces.size() > 1)
        notes.push_back(
            fmt::format("the song jumps once, at {:.2f} s of the cut from its {:.2f} s to its {:.2f} s, "
                        "between bars that are {:.0f} % alike: listen to it, or say song.jump false",
                        cut.pieces[0].out_s - cut.pieces[0].in_s, cut.pieces[0].out_s, cut.pieces[1].in_s,
                        100 * cut.likeness));
    if (cut.silence_s > 0.5)
        notes.push_back(
            fmt::format("the song is over {:.2f} s before the cut; silence follows", cut.silence_s));
    if (cut.ending == SongEnding::cut_off)
        notes.push_back("the song breaks off in a short fade: no bar of it ends where the cut does; another "
                        "length or start may give it an ending");
}

} // namespace

Result<SongToCutTo> choose_song(const Material& material, SongEvent event) {
    const auto& song = material.job.song;
    if (event == SongEvent::original && song.jump.value_or(false))
        return Error{
            Fault::usage,
            "--song original plays the song's own file, which cannot jump; set song.jump to false or null, "
            "or leave --song original out",
            ""};
    const auto cut = beats::cut_song(material.beats, wish_for(material, event));
    if (!cut)
        return Error{cut.error().fault, cut.error().what,
                     from_folder(material.job.folder, song.file) + ", as song.start_s has it"};
    SongToCutTo chosen;
    if (event == SongEvent::original) {
        // The song is an event of the lists, whose source begins on a whole list frame.
        const auto count = count_source(material.song, material.job.limits.delivery.rate);
        const auto start = std::max(count.nearest(cut->pieces.front().in_s), count.from(0));
        chosen.start_s = count.media_s(static_cast<double>(start.n));
        chosen.beats = material.beats;
        return chosen;
    }
    chosen.beats = beats::cut_grid(material.beats, *cut);
    chosen.cut = *cut;
    note_cut(*cut, chosen.notes);
    return chosen;
}

std::string song_file_path(const job::Job& job) {
    return (fs::path(from_folder(job.folder, job.out)) / (job.name + ".song.wav")).string();
}

Result<SongFile> make_song_file(const Material& material, const SongCut& cut, Frame length,
                                analysis::Folder& kept, const Talk& talk) {
    const Rate rate = material.job.limits.delivery.rate;
    const auto samples = nearest_frame(seconds_of(length, rate), Rate(media::cut_song_hz)).n;
    SongFile file;
    file.path = song_file_path(material.job);
    auto made = analysis::find_song_as_cut(material.song, cut, samples, file.path, kept,
                                           talk.stage("writing the song as cut"));
    if (!made) return made.error();
    file.media.path = file.path;
    file.media.name = fs::path(file.path).filename().string();
    file.media.id = made->id;
    file.media.bytes = made->bytes.size();
    // To the list it is as long as the record; to the sample it may be half a sample longer or shorter.
    file.media.duration_s = to_seconds(length, rate);
    file.media.audio = AudioInfo{media::cut_song_hz, made->channels, 0, file.media.duration_s};
    file.told = {cut,
                 fs::absolute(material.song.path).lexically_normal().string(),
                 material.song.id,
                 media::cut_song_hz,
                 made->channels,
                 samples,
                 made->gain_db,
                 material.beats.beats.size()};
    if (made->gain_db < 0)
        file.notes.push_back(
            fmt::format("the song as cut is turned down by {:.2f} dB: peaks between the samples of "
                        "the file would have been clipped",
                        -made->gain_db));
    file.bytes = std::move(made->bytes);
    file.peaks = std::move(made->peaks);
    return file;
}

} // namespace downball::pipeline
