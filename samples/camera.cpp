// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "camera.h"

namespace downball::sample {

Camera::Camera(Vec3 eye, Vec3 target, double focal_px)
    : eye_(eye), forward_(unit(target - eye)), right_(unit(cross(forward_, {0, 0, 1}))),
      up_(cross(right_, forward_)), focal_(focal_px) {}

std::optional<OnScreen> Camera::see(Vec3 world) const {
    const Vec3 v = world - eye_;
    const double depth = dot(v, forward_);
    if (depth < 0.3) return std::nullopt;
    const double scale = focal_ / depth;
    return OnScreen{
        {picture_width / 2.0 + dot(v, right_) * scale, picture_height / 2.0 - dot(v, up_) * scale},
        scale,
        depth};
}

bool Camera::frames(Vec3 world, double margin_px) const {
    const auto s = see(world);
    return s && s->at.x >= margin_px && s->at.x <= picture_width - margin_px && s->at.y >= margin_px &&
           s->at.y <= picture_height - margin_px;
}

Vec3 Camera::ray(double x, double y) const {
    return forward_ + right_ * ((x - picture_width / 2.0) / focal_) +
           up_ * ((picture_height / 2.0 - y) / focal_);
}

Vec2 Camera::on_screen_direction(Vec3 towards) const {
    return unit(Vec2{dot(towards, right_), -dot(towards, up_)});
}

} // namespace downball::sample
