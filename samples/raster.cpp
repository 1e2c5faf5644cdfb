// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "raster.h"

namespace downball::sample {
namespace {

std::uint8_t byte_of(double v) {
    return static_cast<std::uint8_t>(std::clamp(v + 0.5, 0.0, 255.0));
}

struct Hit {
    float distance;
    float nx, ny; // outward, 1 at the outline
};

} // namespace

Canvas::Canvas(int width, int height)
    : width_(width), height_(height), px_(static_cast<std::size_t>(width * height * 3)) {}

void Canvas::set(int x, int y, Rgb colour) {
    std::uint8_t* p = px_.data() + static_cast<std::ptrdiff_t>(y * width_ + x) * 3;
    p[0] = byte_of(colour.r);
    p[1] = byte_of(colour.g);
    p[2] = byte_of(colour.b);
}

Rgb Canvas::get(int x, int y) const {
    const std::uint8_t* p = px_.data() + static_cast<std::ptrdiff_t>(y * width_ + x) * 3;
    return {double(p[0]), double(p[1]), double(p[2])};
}

void Canvas::clear(Rgb colour) {
    for (int y = 0; y < height_; ++y)
        for (int x = 0; x < width_; ++x)
            set(x, y, colour);
}

template <class Distance>
void Canvas::cover(Vec2 low, Vec2 high, const Paint& paint, Distance distance) {
    const auto floor_to = [](double v, int top) {
        return static_cast<int>(std::clamp(std::floor(v), 0.0, double(top)));
    };
    const int x0 = floor_to(low.x - 1, width_), x1 = floor_to(high.x + 2, width_);
    const int y0 = floor_to(low.y - 1, height_), y1 = floor_to(high.y + 2, height_);
    const auto alpha = static_cast<float>(paint.alpha), edge = static_cast<float>(paint.edge);
    const auto lx = static_cast<float>(paint.light.x), ly = static_cast<float>(paint.light.y);
    const float lit[3] = {float(paint.lit.r), float(paint.lit.g), float(paint.lit.b)};
    const float shade[3] = {float(paint.shade.r), float(paint.shade.g), float(paint.shade.b)};
    for (int y = y0; y < y1; ++y) {
        std::uint8_t* p = px_.data() + static_cast<std::ptrdiff_t>(y * width_ + x0) * 3;
        for (int x = x0; x < x1; ++x, p += 3) {
            const Hit hit = distance(static_cast<float>(x) + 0.5f, static_cast<float>(y) + 0.5f);
            if (hit.distance >= 0.5f) continue;
            const float a = alpha * std::min(1.0f, 0.5f - hit.distance);
            const float k = std::clamp(0.5f + 0.62f * (hit.nx * lx + hit.ny * ly), 0.0f, 1.0f);
            const float dark = 1 - edge * std::clamp(hit.distance + 1.5f, 0.0f, 1.0f);
            for (int c = 0; c < 3; ++c) {
                const float want = (shade[c] + (lit[c] - shade[c]) * k) * dark;
                const auto old = static_cast<float>(p[c]);
                p[c] = static_cast<std::uint8_t>(std::clamp(old + (want - old) * a + 0.5f, 0.0f, 255.0f));
            }
        }
    }
}

void Canvas::capsule(Vec2 p, Vec2 q, double rp, double rq, const Paint& paint) {
    const double r = std::max(rp, rq);
    const auto px = float(p.x), py = float(p.y), dx = float(q.x - p.x), dy = float(q.y - p.y);
    const auto r0 = float(rp), dr = float(rq - rp);
    const float along = dx * dx + dy * dy;
    const float inverse = along > 1e-6f ? 1 / along : 0;
    cover({std::min(p.x, q.x) - r, std::min(p.y, q.y) - r}, {std::max(p.x, q.x) + r, std::max(p.y, q.y) + r},
          paint, [=](float x, float y) {
              const float vx = x - px, vy = y - py;
              const float h = std::clamp((vx * dx + vy * dy) * inverse, 0.0f, 1.0f);
              const float ox = vx - h * dx, oy = vy - h * dy, radius = r0 + h * dr;
              const float d2 = ox * ox + oy * oy, far = radius + 0.5f;
              if (d2 >= far * far) return Hit{1, 0, 0};
              const float n = 1 / std::max(radius, 0.5f);
              return Hit{std::sqrt(d2) - radius, ox * n, oy * n};
          });
}

void Canvas::circle(Vec2 centre, double radius, const Paint& paint) {
    capsule(centre, centre, radius, radius, paint);
}

void Canvas::ellipse(Vec2 centre, Vec2 a, double b, const Paint& paint) {
    const double la = std::max(length(a), 0.3), lb = std::max(b, 0.3);
    const Vec2 u = unit(a);
    const double r = std::max(la, lb);
    cover({centre.x - r, centre.y - r}, {centre.x + r, centre.y + r}, paint, [=](float x, float y) {
        const Vec2 v = Vec2{double(x), double(y)} - centre;
        const double s = dot(v, u), t = u.x * v.y - u.y * v.x;
        const double f = std::sqrt(s * s / (la * la) + t * t / (lb * lb));
        // First-order distance: (f - 1) over the gradient of f.
        const double g = std::sqrt(s * s / (la * la * la * la) + t * t / (lb * lb * lb * lb));
        const double d = g > 1e-9 ? f * (f - 1) / g : -std::min(la, lb);
        return Hit{float(d), float(v.x / r), float(v.y / r)};
    });
}

void Canvas::ring(Vec2 centre, double radius, double thickness, const Paint& paint) {
    const double r = radius + thickness;
    cover({centre.x - r, centre.y - r}, {centre.x + r, centre.y + r}, paint, [=](float x, float y) {
        const double d = length(Vec2{double(x), double(y)} - centre);
        return Hit{float(std::abs(d - radius) - thickness / 2), 0, 0};
    });
}

void Canvas::polygon(std::span<const Vec2> corners, const Paint& paint, double round) {
    if (corners.size() < 2) return;
    Vec2 low = corners[0], high = corners[0];
    for (const Vec2 c : corners) {
        low = {std::min(low.x, c.x), std::min(low.y, c.y)};
        high = {std::max(high.x, c.x), std::max(high.y, c.y)};
    }
    const Vec2 middle = mix(low, high, 0.5);
    const double reach = std::max(1.0, length(high - low) / 2 + round);
    cover({low.x - round, low.y - round}, {high.x + round, high.y + round}, paint, [&](float fx, float fy) {
        const Vec2 v{double(fx), double(fy)};
        double nearest = 1e18;
        bool inside = false;
        for (std::size_t i = 0, j = corners.size() - 1; i < corners.size(); j = i++) {
            const Vec2 a = corners[j], e = corners[i] - a, w = v - a;
            const double ee = dot(e, e);
            const Vec2 o = w - e * (ee > 1e-12 ? clamp01(dot(w, e) / ee) : 0.0);
            nearest = std::min(nearest, dot(o, o));
            if ((corners[i].y > v.y) != (a.y > v.y) && v.x < e.x * (v.y - a.y) / e.y + a.x) inside = !inside;
        }
        const double d = std::sqrt(nearest) * (inside ? -1 : 1) - round;
        return Hit{float(d), float((v.x - middle.x) / reach), float((v.y - middle.y) / reach)};
    });
}

Layer::Layer(const Canvas& on_black, const Canvas& on_white) {
    const auto& dark = on_black.bytes();
    const auto& light = on_white.bytes();
    for (std::size_t i = 0; i < dark.size(); i += 3) {
        const int through = std::clamp(int(light[i + 1]) - int(dark[i + 1]), 0, 255);
        if (through < 255)
            dots_.push_back({i, dark[i], dark[i + 1], dark[i + 2], static_cast<std::uint8_t>(through)});
    }
}

void Layer::lay_over(Canvas& canvas) const {
    std::uint8_t* px = canvas.bytes().data();
    for (const Dot& dot : dots_) {
        std::uint8_t* p = px + dot.at;
        const auto blend = [&](int old, int add) {
            return static_cast<std::uint8_t>(std::min(255, add + (old * dot.through + 127) / 255));
        };
        p[0] = blend(p[0], dot.r);
        p[1] = blend(p[1], dot.g);
        p[2] = blend(p[2], dot.b);
    }
}

} // namespace downball::sample
