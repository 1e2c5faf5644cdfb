// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beats/feature_stream.h"
#include "support/catch.h"
#include "support/song_patterns.h"

using namespace downball;

namespace {

struct Two {
    dsp::LoudnessCurve cheap, full;
};

Two measure(int rate, const std::vector<float>& left, const std::vector<float>& right,
            std::size_t block = 4096) {
    beats::FeatureStream stream(rate, 2);
    dsp::LoudnessMeter meter(rate, 2);
    for (std::size_t at = 0; at < left.size(); at += block) {
        const std::vector<const float*> from{left.data() + at, right.data() + at};
        const dsp::PlanarBlock now{from, std::min(block, left.size() - at)};
        if (!stream.push(now)) FAIL("refused");
        meter.push(now);
    }
    return {stream.finish().loudness_curve, meter.finish()};
}

std::vector<float> music(int rate) {
    test::Mix mix(rate, 12);
    test::play(mix, test::back_beat, 6, [](int) { return 120.0; });
    return mix.samples();
}

} // namespace

// Against the meter at the song's own rate, which the published test signals judge. White noise has half of its
// power where the cheap way only adds squares.
TEST_CASE("Loudness from the decimated stream is that of the whole", "[beats][loudness]") {
    for (int rate : {8000, 22050, 44100, 48000, 96000}) {
        test::Mix noise(rate, 6);
        noise.hiss(0.2);
        const auto bright = measure(rate, noise.samples(), noise.samples());
        const auto song = measure(rate, music(rate), music(rate));
        for (const Two& two : {bright, song}) {
            INFO(rate << " Hz");
            CHECK(std::abs(integrated_lufs(two.cheap) - integrated_lufs(two.full)) < 0.05);
            for (double at = 0.4; at < 5; at += 0.4)
                CHECK(std::abs(dsp::lufs(two.cheap.mean(at, at + 0.4)) -
                               dsp::lufs(two.full.mean(at, at + 0.4))) < 0.1);
        }
    }
}

TEST_CASE("Loudness of a song does not depend on the blocks", "[beats][loudness]") {
    const auto left = music(44100);
    const auto whole = measure(44100, left, left).cheap.power;
    for (std::size_t block : {1u, 7u, 511u})
        CHECK(measure(44100, left, left, block).cheap.power == whole);
}
