// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "vec.h"

#include <optional>

namespace downball::sample {

inline constexpr int picture_width = 640;
inline constexpr int picture_height = 360;

struct OnScreen {
    Vec2 at;      // pixels
    double scale; // pixels a metre at that depth
    double depth; // metres along the view
};

// A pinhole on a tripod. `focal_px` is the focal length in pixels: the picture spans 640 / focal_px metres a
// metre of distance.
class Camera {
  public:
    Camera(Vec3 eye, Vec3 target, double focal_px);

    Vec3 eye() const { return eye_; }
    Vec3 right() const { return right_; }
    Vec3 up() const { return up_; }
    double focal_px() const { return focal_; }
    std::optional<OnScreen> see(Vec3 world) const; // nothing behind the lens
    bool frames(Vec3 world, double margin_px) const;
    Vec3 ray(double x, double y) const; // from the eye through a pixel, not normalised
    Vec2 on_screen_direction(Vec3 towards) const;

  private:
    Vec3 eye_, forward_, right_, up_;
    double focal_;
};

} // namespace downball::sample
