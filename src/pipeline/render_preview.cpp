// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/render_preview.h"

#include <filesystem>

namespace downball::pipeline {

Result<PreviewFile> render_preview(const Timeline& timeline, const std::string& path, const PreviewForm& form,
                                   const std::string* song_bytes, files::OutputSet& outputs,
                                   const Talk& talk) {
    const auto temporary = outputs.reserve(path);
    if (!temporary) return temporary.error();
    files::OutputSet scratch; // never committed: gone afterwards
    Timeline heard = timeline;
    std::string song_place, song_temporary;
    if (song_bytes) {
        auto& song = heard.media[heard.song.front().media];
        song_place = (std::filesystem::path(path).parent_path() / song.name).string();
        if (auto added = scratch.add(song_place, *song_bytes); !added) return added.error();
        song.path = song_temporary = *scratch.reserve(song_place);
    }
    auto made = preview::make_preview(heard, *temporary, {.form = form}, talk.stage("preview"));
    // Files are named as the user knows them, not as they stand meanwhile.
    const auto named = [&](Error error) {
        const bool nowhere = error.where.empty() && error.fault != Fault::interrupted;
        if (error.where == *temporary || nowhere) error.where = path;
        if (song_bytes && error.where == song_temporary) error.where = song_place;
        return error;
    };
    if (!made) return named(made.error());
    auto hash = files::file_hash(*temporary);
    if (!hash) return named(hash.error());
    return PreviewFile{path, std::move(*hash), std::move(*made)};
}

} // namespace downball::pipeline
