// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/dsp/band_bank.h"

#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <string_view>

namespace downball::impacts {

// What is measured of a candidate. All are ratios or times, so that gain moves none of them; ratios are
// natural logarithms of energy ratios. "Excess" is energy above the noise model.
enum class Feature : std::size_t {
    rise_rumble, // rise_*: highest energy in the first 15 ms over the noise model, by band
    rise_115,
    rise_210,
    rise_420,
    rise_850,
    rise_1700,
    rise_3400,
    rise_7500,
    attack,  // ln(ms) from 15 % to 85 % of the peak of the whitened envelope
    slap_20, // slap_*, body_*: excess so many ms after the onset over its peak,
    slap_60, //   bands above and below 640 Hz
    slap_200,
    body_40,
    body_90,
    body_200,
    balance,     // excess of the body over that of the slap
    rumble,      // excess below 80 Hz over that of the body
    low_colour,  // excess at 115 Hz over that at 210 and 420 Hz
    slap_colour, // excess at 850 and 1700 Hz over that above
    share_115,   // share_*: excess of a band over all excess above 80 Hz
    share_210,
    share_420,
    share_850,
    share_1700,
    share_3400,
    share_7500,
    tone,      // highest spectral line in 1-5 kHz over the median one, just after the onset
    ring,      // the same in 90-800 Hz: a ball has partials, a step has none
    before,    // level just before the onset over the level of the last second
    density,   // other candidates of like level within a second
    comb,      // how well others of like shape and level stand at whole multiples of one period
    echo,      // likeness to a louder candidate 55-160 ms earlier
    after,     // how much louder the loudest candidate 50-165 ms earlier is
    repeat,    // how many others are followed by a fainter one after the same time: a wall
    rank,      // level over that of the loudest other one within 1.5 s
    first,     // log-odds by all features above; the ones below are told by it
    kin_most,  // likeness to the most alike of the likely contacts within some seconds
    kin_sum,   // ln(1 + sum of such likenesses)
    kin_sure,  // ln(1 + number of likely contacts there)
    kin_level, // level over theirs
    second,    // log-odds by all features above
    rally,     // by how much the flight times between it and its neighbours raise its log-odds
    count
};

// Those that the first and the second judgement rest on.
inline constexpr std::size_t first_count = static_cast<std::size_t>(Feature::first);
inline constexpr std::size_t second_count = static_cast<std::size_t>(Feature::second);
inline constexpr std::size_t feature_count = static_cast<std::size_t>(Feature::count);

struct FeatureVector {
    std::array<float, feature_count> values{};
    float& operator[](Feature f) { return values[static_cast<std::size_t>(f)]; }
    float operator[](Feature f) const { return values[static_cast<std::size_t>(f)]; }
};

std::string_view name_of(Feature feature);

// An instant at which something was struck, ball or not.
struct Candidate {
    double seconds = 0;
    float level = 0;     // excess energy, body and slap
    dsp::Bands rise{};   // ln of peak over noise, by band
    dsp::Bands colour{}; // ln of excess over all excess above 80 Hz, by band
    FeatureVector features;
};

} // namespace downball::impacts
