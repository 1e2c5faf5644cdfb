// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/dsp/block.h"

#include <cstddef>
#include <memory>
#include <vector>

// Loudness after ITU-R BS.1770-4. Its gating is ours, its filters are libebur128's.
namespace downball::dsp {

// K-weighted power of all channels together, each with its weight, in cells of 20 ms or hardly less: whole
// samples. A sine of full scale at 1 kHz in one channel has a power near 0.59.
struct LoudnessCurve {
    double cell_s = 0;
    std::vector<double> power;

    // Mean over [from_s, to_s), parts of cells counted as parts; 0 where nothing is.
    double mean(double from_s, double to_s) const;
};

// -0.691 + 10 log10(power), -120 at least.
double lufs(double power);

// Of the whole: blocks of 400 ms, a new one each 100 ms, those under -70 LUFS left out, then those more than
// 10 LU under what remains. -70 where nothing remains.
double integrated_lufs(const LoudnessCurve& curve);

// What a channel counts in the sum: 1.41 for those at the sides and, up to 5.1, behind, 0 for the
// low-frequency effects. Channels stand in the order of WAVE files, front left first.
double loudness_weight(std::size_t channel, std::size_t channels);

// Samples in, curve out; does not depend on the sizes of the blocks, bit for bit. Any rate from 50 Hz.
class LoudnessMeter {
  public:
    LoudnessMeter(double rate_hz, std::size_t channels);
    LoudnessMeter(LoudnessMeter&&) noexcept;
    LoudnessMeter& operator=(LoudnessMeter&&) noexcept;
    ~LoudnessMeter();

    std::size_t cell_samples() const;
    void push(const PlanarBlock& block);
    // Less than a cell at the end is left out. Nothing can be pushed afterwards.
    LoudnessCurve finish();

  private:
    struct State;
    std::unique_ptr<State> state_;
};

// The highest level of the waveform, between samples too (true peak, BS.1770-4 annex 2), as libebur128 finds it.
class TruePeakMeter {
  public:
    TruePeakMeter(double rate_hz, std::size_t channels);
    TruePeakMeter(TruePeakMeter&&) noexcept;
    TruePeakMeter& operator=(TruePeakMeter&&) noexcept;
    ~TruePeakMeter();

    void push(const PlanarBlock& block);
    double peak() const; // of all channels so far, 1 = full scale

  private:
    struct State;
    std::unique_ptr<State> state_;
};

} // namespace downball::dsp
