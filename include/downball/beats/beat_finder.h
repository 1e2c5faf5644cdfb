// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/long_work.h"
#include "downball/base/result.h"
#include "downball/dsp/block.h"
#include "downball/model/beat_grid.h"

#include <memory>
#include <optional>

namespace downball::beats {

// Raised whenever the same song may give another grid: kept results go by it.
inline constexpr int tracker_version = 1;

// What the user knows better. `half` and `twice` change what would have been chosen, and `bpm` says it outright.
enum class TempoLevel { as_found, half, twice };

struct BeatOptions {
    double slowest_bpm = 50;
    double fastest_bpm = 215;
    double favoured_bpm = 120; // centre of the tempo prior (van Noorden & Moelants 1999)

    std::optional<double> bpm; // the song's usual tempo, to within 4 %
    TempoLevel level = TempoLevel::as_found;
    std::optional<double>
        downbeat_s; // seconds from the first sample: a beat, and the first of a bar, is here
    std::optional<int> beats_per_bar; // 2, 3, 4 or 6
};

// Finds the beats of a whole song. Feed all of it in blocks of any size, then ask once. Instants count from
// the first sample pushed.
class BeatFinder {
  public:
    BeatFinder(int rate_hz, int channels, const BeatOptions& options = {});
    BeatFinder(BeatFinder&&) noexcept;
    BeatFinder& operator=(BeatFinder&&) noexcept;
    ~BeatFinder();

    Result<void> push(const dsp::PlanarBlock& block);
    // Weak evidence is a grid with low confidence; no beat at all is a grid without beats, and so is a song of fewer
    // than 12: too few to tell a beat from chance. Errors: less than 2 s of audio, a sample that is no finite number.
    Result<BeatGrid> finish(const LongWork& work = {});

  private:
    struct State;
    std::unique_ptr<State> state_;
};

} // namespace downball::beats
