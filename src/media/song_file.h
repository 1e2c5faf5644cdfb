// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "media/sound_source.h"

#include <memory>
#include <string>

namespace downball::media {

// A song through libsndfile: WAV and FLAC of the kinds that it and FFmpeg decode to the same samples in the same
// channel order. Null for everything else, which FFmpeg then reads.
std::unique_ptr<SoundSource> open_song_file(const std::string& path);

} // namespace downball::media
