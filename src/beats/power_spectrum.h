// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <memory>
#include <span>
#include <vector>

namespace downball::beats {

// Power spectrum of one Hann-windowed frame, by aubio's FFT. Magnitude and phase are not asked for: the
// trackers need neither, and the phase costs more than the transform.
class PowerSpectrum {
  public:
    explicit PowerSpectrum(std::size_t size); // a power of two
    PowerSpectrum(PowerSpectrum&&) noexcept;
    PowerSpectrum& operator=(PowerSpectrum&&) noexcept;
    ~PowerSpectrum();

    std::size_t size() const;
    // size()/2 + 1 bins, scaled so that a full-scale sine gives 1 in its bin; valid until the next call.
    std::span<const float> of(const float* samples);

  private:
    struct State;
    std::unique_ptr<State> state_;
};

} // namespace downball::beats
