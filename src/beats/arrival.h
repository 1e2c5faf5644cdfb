// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "beats/bar_content.h"

#include <cstddef>
#include <optional>
#include <vector>

namespace downball::beats {

struct Arrival {
    std::size_t beat = 0;
    double confidence = 0; // 0..1
};

// The first beat of the bar on which loudness and low end rise together the most, and stay up for four bars. A
// bar of silence before it makes it stronger. None in a song that stays on one level.
// `energy`, `low_end`: one a beat, 0..1 within the song.
std::optional<Arrival> find_arrival(const BarContent& bars, const std::vector<double>& energy,
                                    const std::vector<double>& low_end);

} // namespace downball::beats
