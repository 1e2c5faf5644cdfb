// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "vec.h"

#include <cstdint>
#include <span>
#include <vector>

namespace downball::sample {

// 0..255 a channel, coded as the screen wants it.
struct Rgb {
    double r = 0, g = 0, b = 0;

    friend Rgb operator*(Rgb c, double k) { return {c.r * k, c.g * k, c.b * k}; }
    friend Rgb operator*(Rgb c, Rgb d) { return {c.r * d.r / 255, c.g * d.g / 255, c.b * d.b / 255}; }
    friend Rgb operator+(Rgb c, Rgb d) { return {c.r + d.r, c.g + d.g, c.b + d.b}; }
};
inline Rgb mix(Rgb a, Rgb b, double k) {
    return a * (1 - k) + b * k;
}

// Colour of a round thing: `lit` on the side towards the light, `shade` on the other; `edge` darkens the last
// pixel of the outline by that share.
struct Paint {
    Rgb lit, shade;
    Vec2 light{-0.6, -0.8};
    double alpha = 1;
    double edge = 0;

    Paint(Rgb flat, double a = 1) : lit(flat), shade(flat), alpha(a) {}
    Paint(Rgb l, Rgb s, Vec2 towards, double e) : lit(l), shade(s), light(towards), edge(e) {}
};

// A picture of 8-bit RGB. Shapes are drawn by signed distance: a pixel's coverage is 1/2 - distance, clamped,
// which smooths edges to about a pixel. Pixel centres lie on half numbers.
class Canvas {
  public:
    Canvas(int width, int height);

    int width() const { return width_; }
    int height() const { return height_; }
    const std::vector<std::uint8_t>& bytes() const { return px_; }
    std::vector<std::uint8_t>& bytes() { return px_; }
    void set(int x, int y, Rgb colour);
    Rgb get(int x, int y) const;
    void clear(Rgb colour);

    // A thick line with round ends, radius rp at p and rq at q.
    void capsule(Vec2 p, Vec2 q, double rp, double rq, const Paint& paint);
    void circle(Vec2 centre, double radius, const Paint& paint);
    // Half axes: `a` as a vector, `b` across it.
    void ellipse(Vec2 centre, Vec2 a, double b, const Paint& paint);
    void ring(Vec2 centre, double radius, double thickness, const Paint& paint);
    // Any simple polygon, grown by `round` with round corners.
    void polygon(std::span<const Vec2> corners, const Paint& paint, double round = 0);

  private:
    template <class Distance>
    void cover(Vec2 low, Vec2 high, const Paint& paint, Distance distance);

    int width_, height_;
    std::vector<std::uint8_t> px_;
};

// Something drawn once and laid over many pictures: colour times coverage, and coverage.
class Layer {
  public:
    // Coverage is recovered from the same drawing on black and on white.
    Layer(const Canvas& on_black, const Canvas& on_white);
    void lay_over(Canvas& canvas) const;

  private:
    struct Dot {
        std::size_t at;
        std::uint8_t r, g, b, through; // what is added, and how much of the ground stays
    };
    std::vector<Dot> dots_;
};

} // namespace downball::sample
