// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"

#include "downball/dsp/loudness.h"

#include <array>
#include <cmath>
#include <numbers>

using namespace downball::dsp;

namespace {

using Channels = std::vector<std::vector<float>>;

struct Stretch {
    double seconds, peak_dbfs;
};

// A 1 kHz sine, one level after another without a break in phase.
std::vector<float> sine(double rate, const std::vector<Stretch>& stretches, double hz = 1000) {
    std::vector<float> out;
    for (const Stretch& s : stretches) {
        const auto n = static_cast<std::size_t>(std::lround(s.seconds * rate));
        for (std::size_t i = 0; i < n; ++i)
            out.push_back(static_cast<float>(
                std::pow(10, s.peak_dbfs / 20) *
                std::sin(2 * std::numbers::pi * hz * static_cast<double>(out.size()) / rate)));
    }
    return out;
}

LoudnessCurve measure(double rate, const Channels& channels, std::size_t block = 4096) {
    LoudnessMeter meter(rate, channels.size());
    for (std::size_t at = 0; at < channels[0].size(); at += block) {
        std::vector<const float*> from;
        for (const auto& c : channels)
            from.push_back(c.data() + at);
        meter.push({from, std::min(block, channels[0].size() - at)});
    }
    return meter.finish();
}

double integrated(double rate, const Channels& channels) {
    return integrated_lufs(measure(rate, channels));
}

double stereo(double rate, const std::vector<Stretch>& stretches) {
    const auto one = sine(rate, stretches);
    return integrated(rate, {one, one});
}

} // namespace

// EBU Tech 3341, table 1, minimum requirements: test cases 1 to 6, -23.0 (-33.0) LUFS within 0.1 LU.
TEST_CASE("The meter meets EBU Tech 3341", "[loudness]") {
    CHECK(std::abs(stereo(48000, {{20, -23}}) + 23) < 0.1);
    CHECK(std::abs(stereo(48000, {{20, -33}}) + 33) < 0.1);
    CHECK(std::abs(stereo(48000, {{10, -36}, {60, -23}, {10, -36}}) + 23) < 0.1);
    CHECK(std::abs(stereo(48000, {{10, -72}, {10, -36}, {60, -23}, {10, -36}, {10, -72}}) + 23) < 0.1);
    CHECK(std::abs(stereo(48000, {{20, -26}, {20.1, -20}, {20, -26}}) + 23) < 0.1);
    const auto front = sine(48000, {{20, -28}}), centre = sine(48000, {{20, -24}}),
               side = sine(48000, {{20, -30}});
    CHECK(std::abs(integrated(48000, {front, front, centre, side, side}) + 23) < 0.1);
    // The same with the low-frequency effects, which do not count (ITU-R BS.1770-4, annex 1).
    CHECK(std::abs(integrated(48000, {front, front, centre, centre, side, side}) + 23) < 0.1);
}

// ITU-R BS.1770-4, annex 1: 0 dB full scale at 997 Hz in one front channel reads -3.01 LKFS.
TEST_CASE("A full-scale sine in one channel reads -3.01", "[loudness]") {
    const auto one = sine(48000, {{5, 0}}, 997);
    CHECK(std::abs(integrated(48000, {one}) + 3.01) < 0.02);
    CHECK(std::abs(integrated(48000, {one, std::vector<float>(one.size())}) + 3.01) < 0.02);
}

TEST_CASE("The meter reads the same at every rate", "[loudness]") {
    for (double rate : {8000.0, 11025.0, 22050.0, 44100.0, 96000.0, 192000.0}) {
        INFO(rate << " Hz");
        CHECK(std::abs(stereo(rate, {{4, -18}}) + 18) < 0.1);
    }
}

TEST_CASE("Twice the amplitude is 6.02 LU more", "[loudness]") {
    const auto one = sine(44100, {{3, -30}, {3, -20}});
    auto twice = one;
    for (float& x : twice)
        x *= 2;
    CHECK(integrated(44100, {twice}) - integrated(44100, {one}) == Approx(20 * std::log10(2)).margin(1e-9));
}

TEST_CASE("The curve does not depend on the blocks", "[loudness]") {
    const Channels two{sine(44100, {{1, -20}}), sine(44100, {{1, -26}}, 5000)};
    const auto whole = measure(44100, two, 44100);
    CHECK(whole.power.size() == 50);
    for (std::size_t block : {1u, 7u, 511u, 4096u})
        CHECK(measure(44100, two, block).power == whole.power);
}

TEST_CASE("Silence reads -70, and less than a block as well", "[loudness]") {
    CHECK(integrated(48000, {std::vector<float>(96000)}) == -70);
    CHECK(stereo(48000, {{0.3, -20}}) == -70);
    CHECK(lufs(0) == -120);
}

TEST_CASE("A mean over parts of cells counts them as parts", "[loudness]") {
    const LoudnessCurve curve{0.02, {1, 3, 5}};
    CHECK(curve.mean(0, 0.06) == Approx(3));
    CHECK(curve.mean(0.01, 0.03) == Approx(2));
    CHECK(curve.mean(0.03, 9) == Approx(13.0 / 3));
    CHECK(curve.mean(1, 2) == 0);
}

// EBU Tech 3341, cases 15, 16 and 18 (from memory): a tone of a quarter and a sixth of the sample rate; at 45 degrees no
// sample stands on its peak. Within +0.2 and -0.4 dB. It rises slowly, as a sudden start overshoots.
TEST_CASE("A true peak between samples is found", "[loudness]") {
    struct Tone {
        double share, degrees;
    };
    for (const Tone tone : {Tone{1 / 4.0, 0}, Tone{1 / 4.0, 45}, Tone{1 / 6.0, 60}}) {
        std::vector<float> samples;
        for (int i = 0; i < 48000; ++i)
            samples.push_back(
                static_cast<float>(0.5 * std::min(1.0, i / 4800.0) *
                                   std::sin(2 * std::numbers::pi * (tone.share * i + tone.degrees / 360))));
        TruePeakMeter meter(48000, 2);
        const std::vector<float> silence(samples.size());
        const std::array channels{silence.data(), static_cast<const float*>(samples.data())};
        meter.push({channels, samples.size()});
        CHECK(20 * std::log10(meter.peak()) > -6.02 - 0.4);
        CHECK(20 * std::log10(meter.peak()) < -6.02 + 0.2);
    }
    CHECK(TruePeakMeter(48000, 1).peak() == 0);
}
