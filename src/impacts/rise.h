// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "impacts/frame_store.h"

#include "downball/dsp/band_bank.h"

#include <array>
#include <cstdint>
#include <optional>

namespace downball::impacts {

// Where energy rises: the sum over bands of ln(next few ms / what came before), at its local highs.
class RiseFinder {
  public:
    explicit RiseFinder(const dsp::BandBank& bank);

    // To be called after each frame pushed to the store. Gives a frame near which an event begins, once
    // that frame is a local high over +-reach; the frames come out in order.
    std::optional<std::int64_t> step(const FrameStore& store);

    static constexpr std::int64_t ahead = 10; // frames a rise looks at
    static constexpr std::int64_t reach = 15; // frames on each side that a local high must beat
    static constexpr std::int64_t first = 60; // frames of sound needed before an event, to know the noise

  private:
    // 0 for what is too little for a candidate.
    float rise_at(const FrameStore& store, std::int64_t frame) const;

    std::array<float, dsp::band_count> weight_{};
    static constexpr std::size_t kept_ = 2 * static_cast<std::size_t>(reach) + 1;
    std::array<float, kept_> rises_{};
};

} // namespace downball::impacts
