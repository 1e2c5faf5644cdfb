// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "impacts/crowd.h"
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

    // Of the models the first and the second are used; the candidates carry what these make of them.
    Listener(int rate_hz, int channels, const Models& models, Sink sink);
    Listener(const Listener&) = delete;
    Listener& operator=(const Listener&) = delete;

    void push(const dsp::PlanarBlock& block);
    void finish(); // the candidates still on their way

    const FrontEnd& front() const { return front_; }
    const CrowdMeter& crowd() const { return crowd_; }

  private:
    void step(const std::array<dsp::Bands, fine_per_frame>& fine);

    FrontEnd front_;
    CrowdMeter crowd_;
    FrameStore store_;
    dsp::NoiseFloor noise_;
    RiseFinder rises_;
    Neighbourhood context_;
    Neighbourhood kin_;
    Models models_;
    Sink sink_;
    Sink score_first_, score_second_;
    std::deque<std::int64_t> waiting_; // frames of rises whose shape is not all heard yet
};

} // namespace downball::impacts
