// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "impacts/curve_model.h"
#include "impacts/feature.h"
#include "impacts/frame_store.h"
#include "impacts/front_end.h"
#include "impacts/neighbourhood.h"
#include "impacts/rise.h"

#include "downball/dsp/noise_floor.h"

#include <deque>
#include <functional>

namespace downball::impacts {

// Samples in, measured candidates out, in order and some seconds late. Its memory is fixed.
class Listener {
  public:
    using Sink = Neighbourhood::Sink;

    // `first` is what likely contacts are told by before they are compared with each other.
    Listener(int rate_hz, int channels, const CurveModel& first, Sink sink);
    Listener(const Listener&) = delete;
    Listener& operator=(const Listener&) = delete;

    void push(const dsp::PlanarBlock& block);
    void finish(); // the candidates still on their way

    const FrontEnd& front() const { return front_; }

  private:
    void step(const std::array<dsp::Bands, fine_per_frame>& fine);

    FrontEnd front_;
    FrameStore store_;
    dsp::NoiseFloor noise_;
    RiseFinder rises_;
    Neighbourhood context_;
    Neighbourhood kin_;
    CurveModel first_;
    Sink sink_;
    Sink score_;                       // first judgement, then on to the kin
    std::deque<std::int64_t> waiting_; // frames of rises whose shape is not all heard yet
};

} // namespace downball::impacts
