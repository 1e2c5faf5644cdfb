// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/dsp/band_bank.h"

#include <array>
#include <cstddef>

namespace downball::impacts {

// In how much of a clip a crowd is heard: cheers, applause, many voices. Two things tell it from surf, wind and the
// other noises of a beach. Its voices fill the octaves around 850, 1700 and 3400 Hz, while the spectra of wind and
// water fall or rise along one slope, and their sums are hollow in the middle, never humped. And it is steady:
// where many shout at once the level flickers less than that of one voice, of music or of dripping water.
class CrowdMeter {
  public:
    explicit CrowdMeter(double frame_s);

    void push(const dsp::Bands& energy);
    // Share of the half seconds so far, 0..1; a half second that is cut short at the end is left out.
    double share() const {
        return blocks_ > 0 ? static_cast<double>(crowded_) / static_cast<double>(blocks_) : 0;
    }

  private:
    void close_slot();
    void close_block();

    std::size_t frames_per_slot_, frames_ = 0;
    dsp::Bands slot_{};                              // summed energies
    std::array<double, 10> slot_db_{};               // level of the middle bands in each slot of the block
    std::array<double, dsp::band_count> block_db_{}; // summed levels
    std::size_t slots_ = 0, blocks_ = 0, crowded_ = 0;
};

} // namespace downball::impacts
