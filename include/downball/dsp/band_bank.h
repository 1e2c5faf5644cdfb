// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <cstddef>
#include <span>

namespace downball::dsp {

// Eight bands an octave wide, from rumble to air, and what a struck ball puts there.
inline constexpr std::size_t band_count = 8;
using Bands = std::array<float, band_count>;

struct BandPlan {
    std::array<double, band_count> centre_hz{50, 115, 210, 420, 850, 1700, 3400, 7500};
    // Q of each of two like band-passes in a row; the row's -3 dB width is 0.64 of one's: about an octave.
    double q = 0.9;
    // A band counts only if its centre lies below this share of the sample rate.
    double highest_share = 0.45;
};

// Mean energy of one channel in eight bands. IIR, so that an attack is seen when it comes: no window smears
// it backwards in time. A change of sign of the input changes no output bit, and scaling the input by a
// power of two scales the energies by its square exactly.
class BandBank {
  public:
    BandBank(double rate_hz, const BandPlan& plan = {});

    bool has(std::size_t band) const { return has_[band]; }
    // Seconds by which the band's energy lags the input at its centre.
    double delay_s(std::size_t band) const { return delay_s_[band]; }
    double width_hz(std::size_t band) const { return width_hz_[band]; }

    // Sum of squares of each band over these samples; 0 for a band the rate cannot hold.
    Bands energy(std::span<const float> samples);
    // The same of each of equal cells, whose number divides that of the samples.
    void energies(std::span<const float> samples, std::span<Bands> cells);

  private:
    struct States {
        Bands s1{}, s2{};
    };
    Bands b0_{}, a1_{}, a2_{}; // of both band-passes
    States first_, second_;
    std::array<bool, band_count> has_{};
    std::array<double, band_count> delay_s_{}, width_hz_{};
};

} // namespace downball::dsp
