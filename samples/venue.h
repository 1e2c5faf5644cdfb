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

// People on the stands; each has clothes, a temper and a place of their own.
class Crowd {
  public:
    Crowd();
    // `joy` 0..1: from murmuring to standing with arms up.
    void draw(Canvas& canvas, const Camera& camera, const Light& light, double at_s, double joy) const;

  private:
    struct Person {
        Vec3 seat;
        Rgb skin, top, hair, hat;
        bool has_hat, waves;
        double phase, temper;
    };
    std::vector<Person> people_;
};

} // namespace downball::sample
