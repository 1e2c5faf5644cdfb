// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "camera.h"
#include "light.h"
#include "raster.h"

#include <string>
#include <vector>

namespace downball::sample {

// What stands around the court. Names on banners and board are invented.
void draw_stands(Canvas& canvas, const Camera& camera, const Light& light);
void draw_umbrellas(Canvas& canvas, const Camera& camera, const Light& light);
void draw_board(Canvas& canvas, const Camera& camera, const Light& light, int set, int a, int b);
void draw_flags(Canvas& canvas, const Camera& camera, const Light& light, double at_s);
void draw_boat(Canvas& canvas, const Camera& camera, const Light& light, double at_s);
void draw_net(Canvas& canvas, const Camera& camera, const Light& light);
void draw_net_shadow(Canvas& mask, const Camera& camera, const Light& light);

inline constexpr Vec3 board_at{10.6, 8.2, 2.35};
inline constexpr Vec3 umbrella_at{-13.5, 9.5, 0};

// Steps of the stands on the far side.
inline constexpr int stand_rows = 3;
inline constexpr double stand_left = -9.4, stand_right = 9.4, stand_front = 8.6, row_depth = 0.85,
                        row_rise = 0.42;

} // namespace downball::sample
