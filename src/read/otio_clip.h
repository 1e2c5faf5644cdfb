// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "read/otio_values.h"

#include <string>
#include <unordered_map>

namespace downball::read {

// Reads the clips of a timeline, and holds them against each other.
class OtioClips {
  public:
    explicit OtioClips(OtioValues& values) : values_(values) {}

    // The clip as an event that begins at a record frame; nothing where it has no usable length.
    std::optional<ListedEvent> clip(const text::Json& clip, const std::string& place, Frame at);
    // Those of a clip or a gap that fills the event.
    void read_marks(const text::Json& item, ListedEvent& event);

  private:
    struct Media {
        std::string place;
        std::string url, reel;
        std::optional<OtioRange> available;
    };
    struct Reference {
        const text::Json* value = nullptr;
        std::string place;
    };

    Reference active(const text::Json& clip, const std::string& place);
    Media media(const Reference& reference, ListedEvent& event);
    void read_warps(const text::Json& clip, ListedEvent& event);
    void read_warp(const text::Json& effect, const std::string& place, ListedEvent& event);
    void read_mark(const text::Json& marker, const std::string& place, ListedEvent& event);
    void read_own(const text::Json& clip, const std::string& place, ListedEvent& event);
    void check_use(const Media& media, const ListedEvent& event);
    void check_reel(const text::Json& clip, const Media& media, const ListedEvent& event);

    OtioValues& values_;
    std::unordered_map<std::string, std::string> file_of_reel_, reel_of_file_;
    std::unordered_map<std::string, double> origin_s_; // of source time, by file
};

} // namespace downball::read
