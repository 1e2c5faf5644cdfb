// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "camera.h"
#include "light.h"
#include "raster.h"

#include <vector>

namespace downball::sample {

// People on the stands; each has clothes, a temper and a place of their own.
class Crowd {
  public:
    Crowd();
    // `joy` 0..1: from murmuring to standing with arms up.
    void draw(Canvas& canvas, const Camera& camera, const Light& light, double at_s, double joy) const;

  private:
    struct Person {
        Vec3 seat;
        Rgb skin, top, shorts, hair, hat;
        bool has_hat, waves;
        double phase, temper;
    };
    std::vector<Person> people_;
};

} // namespace downball::sample
