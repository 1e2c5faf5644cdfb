// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "impacts/crowd.h"
#include "support/catch.h"
#include "support/dice.h"

#include "downball/dsp/band_bank.h"

#include <cmath>
#include <functional>
#include <vector>

using namespace downball;
using namespace downball::impacts;

namespace {

constexpr double rate_hz = 48000;
constexpr std::size_t frame = 256;

// What the meter says of a sound, given sample by sample.
double share(double seconds, const std::function<double(double at_s)>& sample) {
    dsp::BandBank bank(rate_hz);
    CrowdMeter meter(frame / rate_hz);
    std::vector<float> block(frame);
    for (std::size_t n = 0; n < static_cast<std::size_t>(seconds * rate_hz); n += frame) {
        for (std::size_t i = 0; i < frame; ++i)
            block[i] = static_cast<float>(sample(static_cast<double>(n + i) / rate_hz));
        meter.push(bank.energy(block));
    }
    return meter.share();
}

// Noise through a one-pole low-pass at each corner in a row, less what it is below `from_hz`.
class Noise {
  public:
    Noise(std::uint64_t seed, std::vector<double> corners_hz, double from_hz = 0)
        : dice_(seed), corners_(std::move(corners_hz)), state_(corners_.size()), from_hz_(from_hz) {}
    double operator()() {
        double x = dice_.noise();
        for (std::size_t i = 0; i < corners_.size(); ++i)
            x = state_[i] += (x - state_[i]) * (1 - std::exp(-2 * 3.14159265 * corners_[i] / rate_hz));
        if (from_hz_ > 0) x -= low_ += (x - low_) * (1 - std::exp(-2 * 3.14159265 * from_hz_ / rate_hz));
        return x;
    }

  private:
    test::Dice dice_;
    std::vector<double> corners_, state_;
    double from_hz_, low_ = 0;
};

} // namespace

// The spectrum of wind in a microphone falls by 5 dB an octave, as f to the power of -5/3 (Kolmogorov).
TEST_CASE("noise along one slope from 0 to -6 dB an octave is no crowd, nor are two of them together") {
    Noise white(1, {}), brown(3, {20});
    CHECK(share(6, [&](double) { return 0.1 * white(); }) == 0);
    CHECK(share(6, [&](double) { return brown(); }) == 0);
    CHECK(share(6, [&](double) { return 0.02 * white() + brown(); }) == 0);
}

TEST_CASE(
    "steady noise in the octaves of voices is a crowd, over wind as well, and its level does not matter") {
    for (const double gain : {1e-3, 1e-1, 1.0}) {
        Noise voices(4, {2500, 2500}, 700), wind(5, {60, 60});
        CHECK(share(6, [&](double) { return gain * (voices() + 0.3 * wind()); }) == 1);
    }
}

TEST_CASE("one who speaks is no crowd: the voice comes and goes") {
    Noise voice(6, {2500, 2500}, 700);
    CHECK(share(6, [&](double at_s) { return voice() * (std::fmod(at_s, 0.25) < 0.13 ? 1.0 : 0.02); }) == 0);
}

TEST_CASE("half of a clip is half") {
    Noise voices(7, {2500, 2500}, 700), surf(8, {60});
    CHECK(share(8, [&](double at_s) { return (at_s < 4 ? 1.0 : 0.0) * voices() + surf(); }) ==
          Approx(0.5).margin(0.1));
}

TEST_CASE("silence and nothing are no crowd") {
    CHECK(share(3, [](double) { return 0.0; }) == 0);
    CHECK(CrowdMeter(0.005).share() == 0);
}
