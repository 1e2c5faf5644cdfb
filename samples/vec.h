// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <algorithm>
#include <cmath>

namespace downball::sample {

inline constexpr double pi = 3.14159265358979323846;

struct Vec2 {
    double x = 0, y = 0;

    friend Vec2 operator+(Vec2 a, Vec2 b) { return {a.x + b.x, a.y + b.y}; }
    friend Vec2 operator-(Vec2 a, Vec2 b) { return {a.x - b.x, a.y - b.y}; }
    friend Vec2 operator*(Vec2 a, double k) { return {a.x * k, a.y * k}; }
};

// World: x along the court, net at 0; y across it, the sea at large y; z up. Metres.
struct Vec3 {
    double x = 0, y = 0, z = 0;

    friend Vec3 operator+(Vec3 a, Vec3 b) { return {a.x + b.x, a.y + b.y, a.z + b.z}; }
    friend Vec3 operator-(Vec3 a, Vec3 b) { return {a.x - b.x, a.y - b.y, a.z - b.z}; }
    friend Vec3 operator*(Vec3 a, double k) { return {a.x * k, a.y * k, a.z * k}; }
};

inline double dot(Vec2 a, Vec2 b) {
    return a.x * b.x + a.y * b.y;
}
inline double dot(Vec3 a, Vec3 b) {
    return a.x * b.x + a.y * b.y + a.z * b.z;
}
inline Vec3 cross(Vec3 a, Vec3 b) {
    return {a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x};
}
inline double length(Vec2 a) {
    return std::sqrt(dot(a, a));
}
inline double length(Vec3 a) {
    return std::sqrt(dot(a, a));
}
inline Vec2 unit(Vec2 a) {
    const double l = length(a);
    return l > 1e-9 ? a * (1 / l) : Vec2{1, 0};
}
inline Vec3 unit(Vec3 a) {
    const double l = length(a);
    return l > 1e-9 ? a * (1 / l) : Vec3{1, 0, 0};
}

inline double clamp01(double x) {
    return std::clamp(x, 0.0, 1.0);
}
inline double mix(double a, double b, double k) {
    return a + (b - a) * k;
}
inline Vec2 mix(Vec2 a, Vec2 b, double k) {
    return a + (b - a) * k;
}
inline Vec3 mix(Vec3 a, Vec3 b, double k) {
    return a + (b - a) * k;
}
// 0 below a, 1 above b, without a kink between.
inline double ramp(double a, double b, double x) {
    const double k = clamp01((x - a) / (b - a));
    return k * k * (3 - 2 * k);
}

} // namespace downball::sample
