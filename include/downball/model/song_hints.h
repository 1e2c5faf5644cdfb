// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>

namespace downball {

// The beat counted half as fast, or twice as fast, as it was found.
enum class TempoHint { as_found, half, twice };

// What the user knows of a song better than can be heard. What is not said is found by ear.
struct SongHints {
    std::optional<double> bpm = std::nullopt; // the usual tempo, to within 4 %; not together with `tempo`
    TempoHint tempo = TempoHint::as_found;
    std::optional<double> beat_one_s = std::nullopt; // media seconds: a beat, and the first of a bar, is here
    std::optional<int> beats_per_bar = std::nullopt; // 2, 3, 4 or 6

    bool operator==(const SongHints&) const = default;
};

inline constexpr double slowest_hint_bpm = 20;
inline constexpr double fastest_hint_bpm = 400;

} // namespace downball
