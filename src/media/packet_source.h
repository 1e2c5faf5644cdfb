// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "media/input.h"
#include "media/survey.h"
#include "media/track_times.h"

#include <cstddef>
#include <deque>
#include <memory>
#include <optional>

namespace downball::media {

// The packets of an input's sound, from one reading of the file. Those of its pictures are surveyed on the way.
class PacketSource {
  public:
    // `input`: nothing was read from it yet.
    explicit PacketSource(Input input);

    const Input& input() const { return input_; }
    AVStream* picture() const { return picture_; } // null where there is none, as the sound
    AVStream* sound() const { return sound_; }

    // Container seconds at which the first picture is shown; there is a picture track. Reads ahead a little as a rule:
    // what sound it meets waits for next().
    std::optional<double> look_for_first_picture();
    // False if looking ahead met more sound than is kept: then the sound is to be read from another opening.
    bool keeps_sound() const { return !sound_dropped_; }
    // From now on the demuxer passes over pictures, and survey() tells nothing of them.
    void pass_over_pictures();

    // The next packet of the sound, or FFmpeg's code of why there are no more.
    int next(AVPacket& into);
    // Reads all that is left, and tells what the packets of both tracks stated.
    Survey survey();

  private:
    int read(AVPacket& into);
    void keep(AVPacket& packet);

    Input input_;
    AVStream *picture_, *sound_;
    PictureTimes times_;
    SoundEnd end_;
    std::deque<PacketPtr> waiting_; // sound met while looking ahead
    std::size_t waiting_bytes_ = 0;
    bool sound_dropped_ = false;
    int ended_ = 0; // the code that reading ended with
};

// A source of the same file that has all of its sound still to give: this one, or one from another opening.
Result<std::shared_ptr<PacketSource>> whole_sound(std::shared_ptr<PacketSource> source);

} // namespace downball::media
