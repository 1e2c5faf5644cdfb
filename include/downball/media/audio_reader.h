// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/dsp/block.h"

#include <cstddef>
#include <memory>
#include <string>
#include <vector>

namespace downball::media {

class SoundSource;

struct AudioOptions {
    // Zero of the positions: false = the clip's zero (first video frame, else first presented sample);
    // true = first presented sample, for songs, whose cover picture is no picture track.
    bool song = false;
    // Samples in each block but the last. What comes out does not depend on it.
    std::size_t block_frames = 4096;
};

// Decodes a file's first audio track block by block, at its own rate and channel count, without opening the
// video. What comes out is one unbroken run of samples: gaps between packets are filled with silence,
// overlaps are cut, encoder delay and edit lists are honoured, so that sample i is the one a correct player
// plays at first_s() + i / rate_hz(). A packet that cannot be decoded becomes silence and a note; a gap is noted
// too.
class AudioReader {
  public:
    static Result<AudioReader> open(const std::string& path, const AudioOptions& options = {});
    AudioReader(AudioReader&&) noexcept;
    AudioReader& operator=(AudioReader&&) noexcept;
    ~AudioReader();

    int rate_hz() const;
    int channels() const;
    double first_s() const; // media seconds of the first sample that comes out

    // The next block, valid until the next call; empty (frames == 0) at the end.
    Result<dsp::PlanarBlock> read();
    const std::vector<std::string>& notes() const; // what could not be decoded, complete at the end
    bool lossy() const;                            // at the end: some of the sound was lost, and is silence
    bool broke_off() const; // at the end: reading the file failed, as of a worn card, so that this is not all

  private:
    friend class ClipReader;
    struct State;
    AudioReader(std::unique_ptr<SoundSource> source, std::size_t block_frames);
    std::unique_ptr<State> state_;
};

} // namespace downball::media
