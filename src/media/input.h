// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "media/ffmpeg.h"

#include "downball/base/result.h"

#include <cstdint>
#include <initializer_list>
#include <string>
#include <utility>

namespace downball::media {

// An open media file whose streams are known.
struct Input {
    IoPtr io; // outlives the format, which reads through it
    FormatPtr format;
    std::string path;

    Input() = default;
    Input(Input&&) noexcept = default;
    Input& operator=(Input&& other) noexcept {
        format = std::move(other.format);
        io = std::move(other.io);
        path = std::move(other.path);
        return *this;
    }

    // The first picture track, never cover art or thumbnails; the first sound track with a decoder, else the
    // first one at all. Null where there is none.
    AVStream* picture() const;
    AVStream* sound() const;

    // From now on the demuxer reads these streams alone; null ones are passed over.
    void read_only(std::initializer_list<const AVStream*> wanted);
    bool may_jump() const { return (format->iformat->flags & AVFMT_TS_DISCONT) != 0; }
    // Reading failed, as of a worn card; the demuxer takes that for the end of the file.
    bool broke_off() const { return io && io->error < 0; }
};

// The file's length in bytes. Errors: missing, a folder or device, unreadable, empty.
Result<std::uint64_t> check_file(const std::string& path);

// How much is asked about the streams. `header` is quick, and enough to decode pictures of an MP4 or MOV, whose header
// tells all about them; other containers are looked at all the same.
enum class Look { closely, header };

// Opens a local file whatever its name looks like (never an address), silences FFmpeg's own talk and looks
// at the streams. Playlists and still pictures are refused: they are no recordings.
Result<Input> open_input(const std::string& path, Look look = Look::closely);

} // namespace downball::media
