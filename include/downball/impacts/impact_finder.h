// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/dsp/block.h"
#include "downball/model/heard.h"

#include <memory>

namespace downball::impacts {

// Raised whenever the same sound may give other contacts: kept results go by it.
inline constexpr int detector_version = 1;

// The one fixed threshold of the tool on confidence.
inline constexpr double default_floor = 0.5;

struct ImpactOptions {
    double floor = default_floor; // contacts below are left out; 0 = every candidate
    double min_gap_s = 0.08; // nearer than this, two hits are one contact (attack and block, facts A2.12)
};

// Finds ball contacts in a clip's sound. Feed the clip in blocks of any size, then ask once. Instants count
// from the first sample pushed. Memory does not grow with the length of the clip, but for the contacts
// themselves and a few numbers a second.
class ImpactFinder {
  public:
    ImpactFinder(int rate_hz, int channels, const ImpactOptions& options = {});
    ImpactFinder(ImpactFinder&&) noexcept;
    ImpactFinder& operator=(ImpactFinder&&) noexcept;
    ~ImpactFinder();

    Result<void> push(const dsp::PlanarBlock& block);
    Result<Hearing> finish();

  private:
    struct State;
    std::unique_ptr<State> state_;
};

} // namespace downball::impacts
