// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

namespace downball::dsp {

// One channel from one whole rate to another, for listening: flat within 0.01 dB to 0.88 of the lower Nyquist
// frequency, 100 dB down from that frequency on (Kaiser-windowed sinc). Output sample j stands at input sample
// j x in / out exactly, so there is no delay and no drift; equal rates pass samples through untouched. Outputs
// do not depend on how the input was cut up.
class RationalResampler {
  public:
    RationalResampler(int in_hz, int out_hz);

    // Appends to `out` what the input so far allows.
    void push(std::span<const float> in, std::vector<float>& out);
    // Appends the rest, as if silence followed: ceil(samples x out / in) outputs in all.
    void finish(std::vector<float>& out);

  private:
    void drain(std::vector<float>& out, std::int64_t until);

    std::int64_t up_, down_;     // rates, divided by what they share
    std::int64_t reach_ = 0;     // inputs on either side of an output
    std::vector<double> phases_; // up_ filters of 2 x reach_ taps
    std::vector<float> held_;    // inputs from held_from_ on
    std::int64_t held_from_ = 0, taken_ = 0, made_ = 0;
};

} // namespace downball::dsp
