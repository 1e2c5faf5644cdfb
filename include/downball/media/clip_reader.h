// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/media/audio_reader.h"
#include "downball/model/media_info.h"

#include <cstddef>
#include <memory>
#include <string>

namespace downball::media {

struct ClipOptions {
    bool id = true;                  // without it MediaInfo::id stays empty, as in ProbeOptions
    std::size_t block_frames = 4096; // as in AudioOptions
};

// Reads a clip once for both what probe() tells and what AudioReader gives, where either alone opens the file and, if
// it has no index, reads all of it. The order: open(), what is wanted of sound(), finish().
class ClipReader {
  public:
    // Errors: as probe().
    static Result<ClipReader> open(const std::string& path, const ClipOptions& options = {});
    ClipReader(ClipReader&&) noexcept;
    ClipReader& operator=(ClipReader&&) noexcept;
    ~ClipReader();

    // The clip's sound, whose samples are those of AudioReader::open(path); null if there is none that can be decoded.
    AudioReader* sound();
    // Is there a sound track that cannot be decoded here? To probe() such a clip is a silent one.
    bool unheard() const;

    // What probe() tells; `broke_off` is also set where reading failed in the sound alone. Reads the rest of a file
    // without an index, so that the sound ends here. Called once. Errors: as probe().
    Result<MediaInfo> finish();

  private:
    struct State;
    explicit ClipReader(std::unique_ptr<State> state);
    std::unique_ptr<State> state_;
};

} // namespace downball::media
