// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "backdrop.h"

#include "prng.h"

#include <array>

namespace downball::sample {
namespace {

double value_noise(double x, double y, std::uint64_t seed) {
    const double fx = std::floor(x), fy = std::floor(y);
    const int ix = static_cast<int>(fx), iy = static_cast<int>(fy);
    const double u = ramp(0, 1, x - fx), v = ramp(0, 1, y - fy);
    return mix(mix(hash01(ix, iy, seed), hash01(ix + 1, iy, seed), u),
               mix(hash01(ix, iy + 1, seed), hash01(ix + 1, iy + 1, seed), u), v);
}

double layered_noise(double x, double y, int octaves, std::uint64_t seed) {
    double sum = 0, weight = 0.5, total = 0;
    for (int i = 0; i < octaves; ++i) {
        sum += weight * value_noise(x, y, seed + static_cast<std::uint64_t>(i));
        total += weight;
        weight *= 0.55;
        x *= 2.03;
        y *= 2.03;
    }
    return sum / total;
}

Rgb sky_colour(const Light& light, Vec3 ray) {
    const Vec3 d = unit(ray);
    const double up = clamp01(d.z / 0.55);
    Rgb c = mix(light.horizon, light.zenith, std::pow(up, 0.62));
    if (d.z > 0.004) {
        // Thin fair-weather cloud on a flat ceiling.
        const double k = 1.0 / (d.z + 0.11);
        const double n = layered_noise(d.x * k * 1.5, d.y * k * 2.6, 4, 77);
        const double cover = ramp(0.52, 0.78, n) * ramp(0.02, 0.12, d.z) * 0.75;
        c = mix(c, mix(light.sunlight, Rgb{255, 255, 255}, 0.5), cover);
    }
    const double glow = std::max(0.0, dot(d, light.sun));
    return mix(c, light.sunlight, 0.55 * std::pow(glow, 24) + 0.15 * std::pow(glow, 4));
}

// Height above the horizon of what closes the view: a far headland over the sea, dunes over the land.
double skyline(double azimuth, bool seaward) {
    if (seaward) {
        const double cape = ramp(0.95, 0.35, azimuth / pi) * ramp(0.02, 0.16, azimuth / pi);
        return 0.034 * cape * layered_noise(azimuth * 9, 3, 4, 5) * 1.7;
    }
    return 0.012 + 0.055 * layered_noise(azimuth * 7, 11, 4, 6);
}

double line_cover(double distance, double footprint) {
    return clamp01((0.035 - distance) / std::max(footprint, 1e-4) + 0.5) *
           std::min(1.0, 0.07 / std::max(footprint, 0.02) + 0.25);
}

} // namespace

Backdrop::Backdrop(const Camera& camera, const Light& light)
    : light_(light), still_(picture_width, picture_height) {
    const Vec3 eye = camera.eye();
    const Rgb haze = light.horizon;
    const auto ground = [&](double px, double py) -> Vec3 {
        const Vec3 ray = camera.ray(px, py);
        return eye + ray * (eye.z / std::max(1e-5, -ray.z));
    };
    for (int y = 0; y < picture_height; ++y)
        for (int x = 0; x < picture_width; ++x) {
            const double px = x + 0.5, py = y + 0.5;
            const Vec3 ray = camera.ray(px, py);
            const double flat = std::sqrt(ray.x * ray.x + ray.y * ray.y);
            const double azimuth = std::atan2(ray.y, ray.x);
            const double slope = ray.z / flat, pixel = 1 / camera.focal_px();
            const bool seaward = ray.y > 0;
            const double over = (slope - skyline(azimuth, seaward)) / pixel;
            const Rgb sky = sky_colour(light, ray);
            if (slope > 0) {
                const Rgb hill = seaward ? mix(haze, Rgb{70, 104, 128}, 0.55)
                                         : mix(mix(haze, Rgb{96, 116, 74}, 0.75), Rgb{60, 80, 52},
                                               0.5 * layered_noise(azimuth * 60, slope * 300, 3, 9));
                still_.set(x, y, mix(hill, sky, clamp01(over + 0.5)));
                continue;
            }
            const Vec3 p = ground(px, py);
            const double far = length(p - eye);
            const double mist = 1 - std::exp(-far / 420);
            const double shore = shore_y + 0.9 * std::sin(p.x * 0.13) + 0.5 * std::sin(p.x * 0.31 + 1);
            if (p.y > shore + 0.3) {
                const double deep = ramp(0, 30, p.y - shore);
                const double pixel_depth = far * far / (eye.z * camera.focal_px());
                const Rgb c = mix(mix(light.sea, Rgb{150, 214, 205}, 0.42 * (1 - deep)), haze, mist * 0.8);
                still_.set(x, y, c);
                water_.push_back({static_cast<std::size_t>(y * picture_width + x), float(p.x),
                                  float(p.y - shore), float(std::exp(-far / 160)),
                                  float(std::exp(-far / 90) * clamp01(0.35 / pixel_depth)),
                                  float(2.2 * layered_noise(p.x * 0.11, p.y * 0.23, 3, 31)), c});
                continue;
            }
            const Vec3 dx = ground(px + 0.5, py) - ground(px - 0.5, py);
            const Vec3 dy = ground(px, py + 0.5) - ground(px, py - 0.5);
            const double foot_x = std::abs(dx.x) + std::abs(dy.x), foot_y = std::abs(dx.y) + std::abs(dy.y);
            const double fine = clamp01(0.10 / std::max(foot_x, foot_y)), broad = clamp01(1.2 / foot_y);
            const double grain = (layered_noise(p.x * 7, p.y * 7, 3, 21) - 0.5) * fine;
            const double dunes = (layered_noise(p.x * 0.9, p.y * 0.9, 3, 22) - 0.5) * broad;
            const double speck =
                (hash01(static_cast<int>(std::floor(p.x * 45)), static_cast<int>(std::floor(p.y * 45)), 3) -
                 0.5) *
                clamp01(0.012 / std::max(foot_x, foot_y));
            Rgb c = light.sand * (1 + 0.20 * grain + 0.13 * dunes + 0.16 * speck);
            const bool court = std::abs(p.x) < 8 && std::abs(p.y) < 4;
            if (court) c = c * 1.025;
            const double wet = ramp(3.2, 0.2, shore - p.y);
            c = mix(c, light.sand * Rgb{150, 140, 128}, wet * 0.75);
            c = mix(c, Rgb{252, 252, 248}, 0.8 * ramp(0.5, 0.0, std::abs(shore - p.y)));
            double line = 0;
            if (std::abs(p.y) < 4.035) line = line_cover(std::abs(std::abs(p.x) - 8), foot_x);
            if (std::abs(p.x) < 8.035) line = std::max(line, line_cover(std::abs(std::abs(p.y) - 4), foot_y));
            c = mix(c, in_sun(light, {28, 74, 156}), line * 0.92);
            still_.set(x, y, mix(c, haze, mist * 0.7));
        }
    unsealed_ = still_.bytes();
}

void Backdrop::seal() {
    std::erase_if(water_, [&](const Water& w) {
        for (std::size_t c = 0; c < 3; ++c)
            if (unsealed_[w.at * 3 + c] != still_.bytes()[w.at * 3 + c]) return true;
        return false;
    });
}

void Backdrop::paint(Canvas& canvas, double at_s) const {
    canvas.bytes() = still_.bytes();
    static const std::array<float, 1024> wave = [] {
        std::array<float, 1024> table{};
        for (std::size_t i = 0; i < table.size(); ++i)
            table[i] = static_cast<float>(std::sin(2 * pi * static_cast<double>(i) / 1024));
        return table;
    }();
    const auto sine = [](float turns) {
        return wave[static_cast<std::size_t>(static_cast<int>(std::floor(turns * 1024)) & 1023)];
    };
    const auto t = static_cast<float>(at_s);
    std::uint8_t* px = canvas.bytes().data();
    const float foam[3] = {250, 252, 250};
    const float glint[3] = {float(light_.sunlight.r), float(light_.sunlight.g), float(light_.sunlight.b)};
    for (const Water& w : water_) {
        const float u = t * 0.2f + w.stir;
        const float swell =
            sine(0.16f * w.y + 0.021f * w.x + u) * 0.6f + sine(0.35f * w.y - 0.05f * w.x + 1.3f * u) * 0.4f;
        const float chop =
            sine(0.61f * w.x + 1.1f * w.y + 2.1f * u) * sine(1.1f * w.x - 0.7f * w.y - 1.7f * u);
        // Breakers roll in over the last metres; their crests are foam.
        const float roll = sine(0.115f * w.y + 0.012f * w.x + 0.13f * t + 0.10f * w.stir);
        const float near = std::clamp(1 - w.y / 15, 0.0f, 1.0f);
        const float crest =
            std::clamp((roll - 0.84f + 0.14f * chop) * 8, 0.0f, 1.0f) * near +
            std::clamp(1.1f - w.y * 0.8f + 0.5f * sine(0.13f * t + 0.05f * w.x), 0.0f, 1.0f) * 0.8f;
        const float light = 1 + w.swell * 0.10f * swell + w.chop * 0.10f * chop;
        const float sparkle = std::clamp((chop * swell - 0.62f) * 3, 0.0f, 0.8f) * w.chop;
        const float base[3] = {float(w.colour.r), float(w.colour.g), float(w.colour.b)};
        for (std::size_t c = 0; c < 3; ++c) {
            float v = base[c] * light;
            v += (glint[c] - v) * sparkle;
            v += (foam[c] - v) * std::min(crest, 0.9f);
            px[w.at * 3 + c] = static_cast<std::uint8_t>(std::clamp(v, 0.0f, 255.0f));
        }
    }
}

} // namespace downball::sample
