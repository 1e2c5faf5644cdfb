// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "impacts/crowd.h"

#include <algorithm>
#include <cmath>

namespace downball::impacts {
namespace {

constexpr double slot_s = 0.05; // ten make a block
constexpr double least_hump_db = 1;
constexpr double most_flicker_db = 2; // mean change from slot to slot
constexpr float silence = 1e-12f;     // -120 dB

// Bands by their centres: 210, 420; 850, 1700, 3400; 7500 Hz.
constexpr std::size_t low = 2, middle = 4, high = 7;

double db(float energy) {
    return 10 * std::log10(std::max(energy, silence));
}

} // namespace

CrowdMeter::CrowdMeter(double frame_s)
    : frames_per_slot_(std::max<std::size_t>(1, static_cast<std::size_t>(std::lround(slot_s / frame_s)))) {}

void CrowdMeter::push(const dsp::Bands& energy) {
    for (std::size_t b = 0; b < dsp::band_count; ++b)
        slot_[b] += energy[b];
    if (++frames_ == frames_per_slot_) close_slot();
}

void CrowdMeter::close_slot() {
    for (std::size_t b = 0; b < dsp::band_count; ++b)
        block_db_[b] += db(slot_[b]);
    slot_db_[slots_] = db(slot_[middle] + slot_[middle + 1] + slot_[middle + 2]);
    slot_ = {};
    frames_ = 0;
    if (++slots_ == slot_db_.size()) close_block();
}

void CrowdMeter::close_block() {
    const auto slots = static_cast<double>(slots_);
    // A straight line in level over octaves through the bands below and the one above, at the middle ones.
    constexpr double low_octaves = -1.5, middle_octaves = 1, high_octaves = 3.14; // from 850 Hz
    constexpr double share_of_high = (middle_octaves - low_octaves) / (high_octaves - low_octaves);
    const double below = (block_db_[low] + block_db_[low + 1]) / 2, above = block_db_[high];
    const double voices = (block_db_[middle] + block_db_[middle + 1] + block_db_[middle + 2]) / 3;
    const double hump = (voices - (1 - share_of_high) * below - share_of_high * above) / slots;
    double flicker = 0;
    for (std::size_t n = 0; n + 1 < slots_; ++n)
        flicker += std::abs(slot_db_[n + 1] - slot_db_[n]) / (slots - 1);
    const bool silent = voices / slots <= 10 * std::log10(silence) + 1;
    crowded_ += !silent && hump >= least_hump_db && flicker <= most_flicker_db;
    ++blocks_;
    block_db_ = {};
    slots_ = 0;
}

} // namespace downball::impacts
