// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "media/input.h"

#include <cstdint>
#include <optional>
#include <vector>

namespace downball::media {

// What the packets of a whole file state, on the container's own clock.
struct Survey {
    std::vector<std::int64_t> shown; // presentation ticks of the pictures in order, each once
    std::int64_t last_ticks = 0;     // how long the last one is shown, 0 if not said
    bool complete = false;           // every picture had a presentation time
    std::optional<double> sound_end_s;
};

// Container seconds at which the first picture is shown: the earliest presentation time after edit lists,
// which is not that of the first packet where pictures are stored out of order. Reads a few packets.
std::optional<double> first_picture_s(Input& input, AVStream* picture);

// Decoding instants of all shown pictures where the container's index gives them without reading the media
// (mp4 and mov, not fragmented); empty otherwise.
std::vector<std::int64_t> indexed_pictures(const Input& input, const AVStream* picture);

// Container seconds just after the last sample where the index states it; nothing otherwise.
std::optional<double> indexed_sound_end_s(const Input& input, const AVStream* sound);

} // namespace downball::media
