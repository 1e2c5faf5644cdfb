// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"

#include "downball/dsp/resample.h"

#include <algorithm>
#include <cmath>
#include <numbers>

using downball::dsp::Decimator;

namespace {

std::vector<float> sine(double turns_a_sample, std::size_t n) {
    std::vector<float> out(n);
    for (std::size_t i = 0; i < n; ++i)
        out[i] = static_cast<float>(std::sin(2 * std::numbers::pi * turns_a_sample * static_cast<double>(i)));
    return out;
}

std::vector<float> decimated(const std::vector<float>& in, int factor, std::size_t block) {
    Decimator decimate(factor);
    std::vector<float> out;
    for (std::size_t at = 0; at < in.size(); at += block)
        decimate.push({in.data() + at, std::min(block, in.size() - at)}, out);
    decimate.finish(out);
    return out;
}

} // namespace

TEST_CASE("A decimated click stays where it was", "[dsp]") {
    for (const int factor : {1, 2, 4, 8}) {
        std::vector<float> in(1000, 0.0f);
        in[400] = 1;
        const auto out = decimated(in, factor, 1000);
        REQUIRE(out.size() ==
                (in.size() + static_cast<std::size_t>(factor) - 1) / static_cast<std::size_t>(factor));
        CHECK(std::max_element(out.begin(), out.end()) - out.begin() == 400 / factor);
    }
}

TEST_CASE("Decimation keeps what fits and drops what would fold back", "[dsp]") {
    const auto level = [](const std::vector<float>& x) {
        double top = 0;
        for (std::size_t i = 100; i + 100 < x.size(); ++i)
            top = std::max(top, std::abs(static_cast<double>(x[i])));
        return top;
    };
    CHECK(level(decimated(sine(0.0513, 4000), 2, 4000)) == Approx(1).margin(0.02));
    CHECK(level(decimated(sine(0.40, 4000), 2, 4000)) < 0.01);
    CHECK(level(decimated(sine(0.10, 8000), 8, 8000)) < 0.01);
}

TEST_CASE("How the input is cut up changes no bit of the decimated signal", "[dsp]") {
    const auto in = sine(0.0313, 5003);
    for (const int factor : {2, 5, 8}) {
        const auto whole = decimated(in, factor, in.size());
        for (const std::size_t block : {std::size_t{1}, std::size_t{7}, std::size_t{511}})
            CHECK(decimated(in, factor, block) == whole);
    }
}
