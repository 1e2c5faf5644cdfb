// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/render_preview.h"

#include <filesystem>

namespace downball::pipeline {

Result<PreviewFile> render_preview(const Timeline& timeline, const std::string& path,
                                   const std::string* song_bytes, OutputSet& outputs, const Talk& talk) {
    const auto temporary = outputs.reserve(path);
    if (!temporary) return temporary.error();
    OutputSet scratch; // never committed: gone afterwards
    Timeline heard = timeline;
    if (song_bytes) {
        auto& song = heard.media[heard.song.front().media];
        const auto place = (std::filesystem::path(path).parent_path() / song.name).string();
        if (auto added = scratch.add(place, *song_bytes); !added) return added.error();
        song.path = *scratch.reserve(place);
    }
    auto made = preview::make_preview(heard, *temporary, {}, talk.stage("preview"));
    if (!made && made.error().fault == Fault::cannot_write)
        return Error{Fault::cannot_write, made.error().what, path};
    if (!made) return made.error();
    auto hash = file_hash(*temporary);
    if (!hash) return hash.error();
    return PreviewFile{path, std::move(*hash), std::move(*made)};
}

} // namespace downball::pipeline
