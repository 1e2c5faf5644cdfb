// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/long_work.h"
#include "downball/base/result.h"
#include "downball/dsp/block.h"
#include "downball/model/timeline.h"

#include <array>
#include <string>
#include <vector>

namespace downball::preview {

inline constexpr int mix_hz = 48000;

using Stereo = std::array<std::vector<float>, 2>;

struct Mix {
    Stereo sound;                   // all of the record
    std::vector<std::string> notes; // what could not be read
};

// Sample of the record at which a record frame begins.
std::int64_t sample_at(Frame record, Rate list);

// The song, and the natural sound with its fades, `under_song_lu` below it by their integrated loudness; all without
// a gain for the whole. Errors: the song cannot be read, a request to stop.
Result<Mix> mix_sound(const Timeline& timeline, double under_song_lu, const LongWork& work);

struct Level {
    double lufs = -70, true_peak_db = -120;
};
Level level_of(const Stereo& sound);
// As it is heard in the movie, coded. Errors: no coder, a request to stop.
Result<Level> level_as_coded(const Stereo& sound, const LongWork& work = {});

// A part of the sound as a block, valid as long as it is.
struct StereoBlock {
    std::array<const float*, 2> channels;
    std::size_t frames;

    StereoBlock(const Stereo& sound, std::size_t from, std::size_t to)
        : channels{sound[0].data() + from, sound[1].data() + from}, frames(to - from) {}
    operator dsp::PlanarBlock() const { return {channels, frames}; }
};

} // namespace downball::preview
