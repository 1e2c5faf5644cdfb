// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/preview/flashes.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>

namespace downball::preview {
namespace {

constexpr double least_change = 0.1, brightest_dark = 0.8; // of relative luminance
constexpr double red_share = 0.8, red_change = 0.2;
constexpr std::size_t allowed_flashes = 3;

constexpr int columns = 48;
// Of a view of 1024 x 768.
constexpr double field_wide = 341.0 / 1024, field_high = 256.0 / 1024; // both in widths of the view

// WCAG's relative luminance from sRGB; its threshold 0.04045 as in IEC 61966-2-1.
const std::array<double, 256>& linear() {
    static const auto table = [] {
        std::array<double, 256> values{};
        for (std::size_t code = 0; code < values.size(); ++code) {
            const double c = static_cast<double>(code) / 255;
            values[code] = c <= 0.04045 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
        }
        return values;
    }();
    return table;
}

// To the nearest; std::lround is a call, and this is asked for each pixel.
std::size_t code_of(double value) {
    return static_cast<std::size_t>(std::clamp(value, 0.0, 255.0) + 0.5);
}

struct Light {
    double r = 0, g = 0, b = 0;
};

// BT.709, studio range.
Light light_of(const std::array<double, 256>& values, double y, double cb, double cr) {
    const double luma = (y - 16) * (255.0 / 219), blue = (cb - 128) * (255.0 / 224),
                 red = (cr - 128) * (255.0 / 224);
    return {values[code_of(luma + 1.5748 * red)], values[code_of(luma - 0.1873 * blue - 0.4681 * red)],
            values[code_of(luma + 1.8556 * blue)]};
}

bool apart(double one, double other) {
    return std::abs(one - other) >= least_change && std::min(one, other) < brightest_dark;
}

} // namespace

FlashMeter::FlashMeter(int width, int height, Rate rate)
    : second_(static_cast<std::int64_t>(std::ceil(rate.per_second() - 1e-9))),
      columns_(std::min(columns, width / 2)) {
    const double cell = static_cast<double>(width) / columns_;
    rows_ = std::max(1, std::min(height / 2, static_cast<int>(std::lround(height / cell))));
    // A movie that is taller than wide is shown as wide as it fits, so its shorter side counts as it does here.
    const double view = std::max(width, height);
    field_columns_ = std::clamp(static_cast<int>(std::lround(field_wide * view / cell)), 1, columns_);
    field_rows_ = std::clamp(static_cast<int>(std::lround(field_high * view / cell)), 1, rows_);
    cells_.resize(static_cast<std::size_t>(columns_) * static_cast<std::size_t>(rows_));
}

// The mean light of each cell, by squares of two by two pixels, which have one colour difference.
std::vector<FlashMeter::Colour> FlashMeter::colours_of(const media::Picture& picture) const {
    const auto luma = picture.plane(0), blue = picture.plane(1), red = picture.plane(2);
    const auto& values = linear();
    std::vector<Light> sums(cells_.size());
    std::vector<int> counts(cells_.size());
    for (int y = 0; y < blue.height; ++y) {
        const int row = std::min(rows_ - 1, y * rows_ / blue.height);
        const auto* top = luma.data + static_cast<std::ptrdiff_t>(2 * y) * luma.width;
        const auto *its_blue = blue.data + static_cast<std::ptrdiff_t>(y) * blue.width,
                   *its_red = red.data + static_cast<std::ptrdiff_t>(y) * red.width;
        for (int column = 0; column < columns_; ++column) {
            // Those x with x * columns / width, rounded down, at this column.
            const int from = (column * blue.width + columns_ - 1) / columns_,
                      to = ((column + 1) * blue.width + columns_ - 1) / columns_;
            Light sum;
            for (int x = from; x < to; ++x) {
                const auto* pixel = top + 2 * x;
                const double mean = (pixel[0] + pixel[1] + pixel[luma.width] + pixel[luma.width + 1]) / 4.0;
                const Light light = light_of(values, mean, its_blue[x], its_red[x]);
                sum.r += light.r;
                sum.g += light.g;
                sum.b += light.b;
            }
            const auto cell = static_cast<std::size_t>(row * columns_ + column);
            sums[cell].r += sum.r;
            sums[cell].g += sum.g;
            sums[cell].b += sum.b;
            counts[cell] += to - from;
        }
    }
    std::vector<Colour> colours(cells_.size());
    for (std::size_t c = 0; c < colours.size(); ++c) {
        const double n = std::max(counts[c], 1);
        const Light light{sums[c].r / n, sums[c].g / n, sums[c].b / n};
        const double all = light.r + light.g + light.b;
        colours[c].luminance = 0.2126 * light.r + 0.7152 * light.g + 0.0722 * light.b;
        colours[c].red = all > 0 && light.r / all >= red_share;
        // CIE 1931 XYZ of sRGB (IEC 61966-2-1), then CIE 1976 u'v'; black has no colour, and counts as white.
        const double x = 0.4124 * light.r + 0.3576 * light.g + 0.1805 * light.b;
        const double z = 0.0193 * light.r + 0.1192 * light.g + 0.9505 * light.b;
        const double sum = x + 15 * colours[c].luminance + 3 * z;
        colours[c].u = sum > 1e-6 ? 4 * x / sum : 0.1978;
        colours[c].v = sum > 1e-6 ? 9 * colours[c].luminance / sum : 0.4683;
    }
    return colours;
}

// A change goes from one extreme to the next, however many pictures it takes.
void FlashMeter::follow_light(Cell& cell, double now) const {
    if (cell.direction <= 0 && now > cell.low && apart(now, cell.low)) {
        cell.direction = 1;
        cell.high = cell.low = now;
        cell.light.push_back(at_);
    } else if (cell.direction >= 0 && now < cell.high && apart(now, cell.high)) {
        cell.direction = -1;
        cell.high = cell.low = now;
        cell.light.push_back(at_);
    } else {
        cell.high = std::max(cell.high, now);
        cell.low = std::min(cell.low, now);
    }
}

void FlashMeter::follow_red(Cell& cell, const Colour& now) const {
    if ((cell.hue.red || now.red) && std::hypot(now.u - cell.hue.u, now.v - cell.hue.v) > red_change) {
        cell.reds.push_back(at_);
        cell.hue = now;
    } else if (!cell.hue.red || now.red) {
        cell.hue = now;
    }
}

// Is there a field of which a quarter has too many changes in the second that ends here?
void FlashMeter::judge(std::vector<Frame> Cell::*changes, bool red, std::vector<FlashStretch>& found) {
    std::vector<int> flashes(cells_.size());
    Frame first = at_;
    bool any = false;
    for (std::size_t c = 0; c < cells_.size(); ++c) {
        auto& its = cells_[c].*changes;
        std::erase_if(its, [&](Frame frame) { return frame.n <= at_.n - second_; });
        flashes[c] = static_cast<int>(its.size() / 2);
        any = any || its.size() / 2 > allowed_flashes;
    }
    if (!any) return;
    const int quarter = (field_columns_ * field_rows_ + 3) / 4;
    int most = 0;
    for (int top = 0; top + field_rows_ <= rows_; ++top)
        for (int left = 0; left + field_columns_ <= columns_; ++left) {
            std::vector<int> over;
            for (int y = top; y < top + field_rows_; ++y)
                for (int x = left; x < left + field_columns_; ++x) {
                    const auto c = static_cast<std::size_t>(y * columns_ + x);
                    if (flashes[c] <= static_cast<int>(allowed_flashes)) continue;
                    over.push_back(flashes[c]);
                    first = std::min(first, (cells_[c].*changes).front());
                }
            if (static_cast<int>(over.size()) < quarter) continue;
            // What a quarter of the field has at least.
            std::nth_element(over.begin(), over.begin() + quarter - 1, over.end(), std::greater<>());
            most = std::max(most, over[static_cast<std::size_t>(quarter - 1)]);
        }
    if (most == 0) return;
    if (!found.empty() && first.n - found.back().last.n < second_) {
        found.back().last = at_;
        found.back().flashes = std::max(found.back().flashes, most);
    } else {
        found.push_back({first, at_, most, red});
    }
}

void FlashMeter::push(const media::Picture& picture) {
    const auto colours = colours_of(picture);
    bool changed_light = false, changed_red = false;
    for (std::size_t c = 0; c < cells_.size(); ++c) {
        Cell& cell = cells_[c];
        if (at_.n == 0) {
            cell.low = cell.high = colours[c].luminance;
            cell.hue = colours[c];
            continue;
        }
        const auto lights = cell.light.size(), reds = cell.reds.size();
        follow_light(cell, colours[c].luminance);
        follow_red(cell, colours[c]);
        changed_light = changed_light || cell.light.size() > lights;
        changed_red = changed_red || cell.reds.size() > reds;
    }
    if (changed_light) judge(&Cell::light, false, light_);
    if (changed_red) judge(&Cell::reds, true, red_);
    at_ += Frame{1};
}

std::vector<FlashStretch> FlashMeter::stretches() const {
    std::vector<FlashStretch> all = light_;
    all.insert(all.end(), red_.begin(), red_.end());
    std::stable_sort(all.begin(), all.end(),
                     [](const FlashStretch& a, const FlashStretch& b) { return a.first < b.first; });
    return all;
}

} // namespace downball::preview
