// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beats/power_spectrum.h"

#include <aubio/aubio.h>
#include <numeric>

namespace downball::beats {

struct PowerSpectrum::State {
    std::size_t size;
    aubio_fft_t* fft;
    fvec_t* window;
    fvec_t* frame;
    fvec_t* complex;
    float scale;
    std::vector<float> power;

    explicit State(std::size_t n)
        : size(n), fft(new_aubio_fft(static_cast<uint_t>(n))), frame(new_fvec(static_cast<uint_t>(n))),
          complex(new_fvec(static_cast<uint_t>(n))), power(n / 2 + 1) {
        char_t shape[] = "hanningz";
        window = new_aubio_window(shape, static_cast<uint_t>(n));
        const float sum = std::accumulate(window->data, window->data + n, 0.0f);
        scale = 4.0f / (sum * sum);
    }
    State(const State&) = delete;
    State& operator=(const State&) = delete;
    ~State() {
        del_fvec(complex);
        del_fvec(frame);
        del_fvec(window);
        del_aubio_fft(fft);
    }
};

PowerSpectrum::PowerSpectrum(std::size_t size) : state_(std::make_unique<State>(size)) {}
PowerSpectrum::PowerSpectrum(PowerSpectrum&&) noexcept = default;
PowerSpectrum& PowerSpectrum::operator=(PowerSpectrum&&) noexcept = default;
PowerSpectrum::~PowerSpectrum() = default;

std::size_t PowerSpectrum::size() const {
    return state_->size;
}

std::span<const float> PowerSpectrum::of(const float* samples) {
    State& s = *state_;
    for (std::size_t i = 0; i < s.size; ++i)
        s.frame->data[i] = samples[i] * s.window->data[i];
    aubio_fft_do_complex(s.fft, s.frame, s.complex);
    // aubio packs real parts upwards from 0 and imaginary parts downwards from the end.
    const std::size_t half = s.size / 2;
    const float* packed = s.complex->data;
    s.power[0] = packed[0] * packed[0] * s.scale;
    s.power[half] = packed[half] * packed[half] * s.scale;
    for (std::size_t i = 1; i < half; ++i)
        s.power[i] = (packed[i] * packed[i] + packed[s.size - i] * packed[s.size - i]) * s.scale;
    return s.power;
}

} // namespace downball::beats
