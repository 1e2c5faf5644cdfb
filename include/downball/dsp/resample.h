// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace downball::dsp {

// Keeps every `factor`-th sample behind a linear-phase low-pass (Hann-windowed sinc) whose delay is taken
// out: output j stands at input sample j * factor. Outputs do not depend on how the input was cut up.
class Decimator {
  public:
    explicit Decimator(int factor);

    int factor() const { return factor_; }
    // Appends to `out` what the input so far allows.
    void push(std::span<const float> in, std::vector<float>& out);
    // Appends the rest, as if silence followed: ceil(samples / factor) outputs in all.
    void finish(std::vector<float>& out);

  private:
    void drain(std::vector<float>& out, std::size_t outputs);

    int factor_;
    std::vector<float> taps_;
    std::vector<float> held_; // input not yet left behind by the filter, starts half a filter before output
    std::vector<float> phases_; // the same by its place in the step
    std::size_t taken_ = 0;
    std::size_t made_ = 0;
};

} // namespace downball::dsp
