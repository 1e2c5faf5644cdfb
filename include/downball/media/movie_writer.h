// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/dsp/block.h"
#include "downball/media/picture.h"
#include "downball/time/rate.h"

#include <memory>
#include <string>

namespace downball::media {

inline constexpr int movie_hz = 48000;

struct MovieForm {
    int width = 640, height = 360; // even
    Rate rate;
};

// Writes an MP4 that any browser or player shows: H.264 (BT.709, a key picture about each second so that one may
// scrub) and stereo AAC at 48 kHz, its index at the front. It stands under another name until it is whole; dropped
// without finish(), nothing of it is left. The same input gives the same bytes.
class MovieWriter {
  public:
    // Errors: no right to write there; no H.264 encoder.
    static Result<MovieWriter> create(const std::string& path, const MovieForm& form);
    MovieWriter(MovieWriter&&) noexcept;
    MovieWriter& operator=(MovieWriter&&) noexcept;
    ~MovieWriter();

    // The next picture, and the next samples of the two channels. Bytes do not depend on which comes first; what one
    // is ahead of the other waits in memory, coded.
    Result<void> add(Picture& picture);
    Result<void> add(const dsp::PlanarBlock& block);
    Result<void> finish();

  private:
    struct State;
    explicit MovieWriter(std::unique_ptr<State> state);
    std::unique_ptr<State> state_;
};

} // namespace downball::media
