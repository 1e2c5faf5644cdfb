// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>

namespace downball::media {

// Decides where decoded samples go. Samples are counted; the instants a container states only move the count
// where they really jump, since coarse time bases (1 ms, 90 kHz) round each of them.
//
//     counted   |----A----|----B----|
//     stated    |----A----|     |----B----|      gap: silence goes before B
//     stated    |----A----|                      cut: the head of B is dropped
//                   |----B----|
class SampleClock {
  public:
    // `may_jump`: a format whose clock may be reset (transport stream, chained Ogg).
    SampleClock(int rate_hz, double tick_s, bool may_jump);

    struct Place {
        std::int64_t gap = 0; // samples of silence to put before
        std::int64_t cut = 0; // samples to drop from the head
        bool jumped = false;  // the stated time jumped too far to be true; the pieces are joined
    };

    // `stated`: the position of the next `samples` by the container, in samples from the first one.
    // True if it is off the count by more than rounding; then it is to be confirmed before it is believed.
    bool off_count(std::int64_t stated, std::int64_t samples) const;
    Place place(std::int64_t stated, std::int64_t samples);
    void advance(std::int64_t samples) { position_ += samples; }
    std::int64_t position() const { return position_; }
    // Where a stated position lies once earlier jumps are taken out.
    std::int64_t counted(std::int64_t stated) const { return stated - jumps_; }

  private:
    double tolerance(std::int64_t samples) const;

    std::int64_t rate_;
    double tick_samples_;
    bool may_jump_;
    std::int64_t position_ = 0;
    std::int64_t jumps_ = 0;
};

} // namespace downball::media
