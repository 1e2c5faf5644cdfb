// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "media/steady_clock.h"
#include "media/survey.h"

#include <cstdint>
#include <optional>
#include <vector>

namespace downball::media {

// When pictures are shown, gathered from their packets.
class PictureTimes {
  public:
    explicit PictureTimes(SteadyClock clock) : clock_(clock) {}

    void add(const AVPacket& packet);
    // True once no later packet can be shown earlier than those up to this one.
    bool settled(const AVPacket& packet) const;
    std::int64_t earliest() const { return earliest_; } // ticks, AV_NOPTS_VALUE: none yet
    void move_to(Survey& survey);

  private:
    SteadyClock clock_;
    std::vector<std::int64_t> shown_;
    std::int64_t earliest_ = AV_NOPTS_VALUE, latest_ = AV_NOPTS_VALUE, last_ticks_ = 0;
    bool any_key_ = false, any_without_ = false;
};

// Where sound ends by its packets. Some demuxers shorten the last packet's duration by the padding they
// also state, others do not; the packet before it tells how long a whole one is.
class SoundEnd {
  public:
    SoundEnd(const AVStream* sound, SteadyClock clock) : sound_(sound), clock_(clock) {}

    void add(const AVPacket& packet);
    std::optional<double> end_s() const { return end_s_; }

  private:
    const AVStream* sound_;
    SteadyClock clock_;
    std::int64_t last_ticks_ = 0;
    std::optional<double> end_s_;
};

// Container seconds at which the first picture is shown, by what was gathered, else by what the track states.
std::optional<double> first_shown_s(const PictureTimes& times, const AVStream* picture);

} // namespace downball::media
