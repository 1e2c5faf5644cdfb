// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "media/input.h"

namespace downball::media {

// Transport streams joined end to end, and chained Ogg, reset their clock on the way: a step back, or one of
// more than 10 s ahead. What follows is then counted on from where the last packet ended.
class SteadyClock {
  public:
    SteadyClock(AVRational base, bool may_jump) : base_(base), may_jump_(may_jump) {}

    // What to take off the times of this packet.
    std::int64_t follow(const AVPacket& packet) {
        if (!may_jump_ || packet.dts == AV_NOPTS_VALUE) return jumps_;
        const auto dts = packet.dts - jumps_;
        const auto step_s = next_ == AV_NOPTS_VALUE ? 0 : seconds(dts - next_, base_);
        if (step_s < -0.1 || step_s > 10) jumps_ += dts - next_;
        next_ = packet.dts - jumps_ + packet.duration;
        return jumps_;
    }
    std::int64_t jumps() const { return jumps_; }
    // Goes on at a packet before which the clock had jumped by so much.
    void resume(std::int64_t jumps) {
        jumps_ = jumps;
        next_ = AV_NOPTS_VALUE;
    }

  private:
    AVRational base_;
    bool may_jump_;
    std::int64_t next_ = AV_NOPTS_VALUE, jumps_ = 0;
};

inline SteadyClock steady_clock(const Input& input, const AVStream* track) {
    return {track ? track->time_base : AV_TIME_BASE_Q, input.may_jump()};
}

} // namespace downball::media
