// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "camera.h"
#include "rally.h"

#include <string_view>

namespace downball::sample {

enum class Framing { side_wide, high_wide, net_medium, net_low, medium, tight, low };

struct Aim {
    Camera view;
    std::string_view size, angle;
};

// Where the tripod stands and what it looks at, for contacts i..j of a rally; `stand_off` metres from the
// court's middle line, outside the free zone.
Aim aim_at(const Rally& rally, std::size_t i, std::size_t j, Framing framing, double stand_off);

} // namespace downball::sample
