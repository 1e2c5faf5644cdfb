// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/time/rate.h"
#include "downball/time/tick.h"
#include "downball/time/timecode.h"

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace downball {

struct AudioInfo {
    int rate_hz = 0;
    int channels = 0;
    double first_s = 0; // media seconds of the first presented sample; may lie before or after zero
    double end_s = 0;   // media seconds just after the last one, as far as the container says
};

// A start label the camera wrote, counted at the rate it was written in.
struct StartTimecode {
    std::string label; // as found, "01:02:03;04"
    Frame at;
    Rate rate;
    Counting counting = Counting::non_drop;
};

// When each picture of a file is first shown, in media seconds. A constant rate is the special case without
// a list. Record frame k of a shot shows the last picture with time <= source in + (k + 1/2)/rate x speed.
struct FrameTable {
    std::optional<Rate> constant;
    std::vector<double> shown_s; // variable rate only: in order, the first is 0
    double off_s = 0; // constant rate: how far a picture lies at most from its place, since containers round

    // Index of the picture shown at that instant, clamped to the first; `count` bounds it where known.
    std::int64_t picture_at(double seconds) const;
};

// What a file says of itself. Zero of its media seconds: presentation of the first video frame; of an
// audio-only file, the first presented sample.
struct MediaInfo {
    std::string path; // as it can be opened from the working folder
    std::string name; // file name alone
    std::string id;   // hash of the content, 16 hexadecimal digits
    std::uint64_t bytes = 0;
    double duration_s = 0; // of the picture; audio-only: of the sound
    bool has_video = false;
    std::optional<Rate> rate; // nothing for audio-only files and for variable rate
    bool variable_rate = false;
    double average_fps = 0;
    FrameTable frames;
    int width = 0, height = 0; // as coded, before rotation
    int rotation = 0;          // degrees clockwise to turn the picture for showing: 0, 90, 180, 270
    std::optional<StartTimecode> start;
    std::optional<AudioInfo> audio;
    std::optional<std::string> created; // ISO 8601, from the container
    std::optional<double>
        time_of_day_s;      // of the first sample of a sound file, as its recorder's clock had it
    std::string device;     // maker and model of the camera, where the container tells; else empty
    std::string card_reel;  // reel name that the camera wrote; empty = none
    std::string moved_from; // the path in the log, if the file lies elsewhere now; else empty
    bool broke_off = false; // reading failed half-way, as of a worn card: this tells only what was read
};

// How many times slower than life a file plays whose camera took that many pictures a second; 1 where nothing is
// said. `capture_fps` above the rate of the container means slower, below it time lapse.
double times_slower(const MediaInfo& media, std::optional<double> capture_fps);

} // namespace downball
