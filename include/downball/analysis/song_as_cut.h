// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/analysis/folder.h"
#include "downball/media/cut_song_file.h"

#include <cstdint>
#include <string>
#include <vector>

namespace downball::analysis {

// media::cut_song_file, or the file that stands at `standing` if it is the very one that this song and cut make.
Result<media::CutSongFile> find_song_as_cut(const MediaInfo& song, const SongCut& cut, std::int64_t samples,
                                            const std::string& standing, Folder& folder,
                                            const LongWork& work = {});

// media::song_peaks, from the folder where they were found before.
Result<std::vector<float>> find_song_peaks(const MediaInfo& song, double from_s, double to_s,
                                           std::size_t count, Folder& folder, const LongWork& work = {});

} // namespace downball::analysis
