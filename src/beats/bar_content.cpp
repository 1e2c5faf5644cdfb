// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beats/bar_content.h"

#include <algorithm>
#include <cmath>

namespace downball::beats {

namespace {

// Under a song's peak by this much is silence, whatever stands there.
constexpr double range_db = 45;

std::vector<std::size_t> bar_starts(const BeatGrid& grid) {
    const std::size_t n = grid.beats.size();
    std::vector<std::size_t> out{0};
    if (grid.beats_per_bar == 0) {
        for (std::size_t i = 4; i + 2 <= n; i += 4)
            out.push_back(i);
    } else {
        const auto bar = static_cast<std::size_t>(grid.beats_per_bar);
        bool pickup = grid.beats.front().position != 1;
        for (std::size_t i = 1; i < n && 2 * (n - i) >= bar; ++i) {
            if (grid.beats[i].position != 1) continue;
            if (!pickup) out.push_back(i);
            pickup = false;
        }
    }
    out.push_back(n);
    return out;
}

// Columns of the description, a row a beat, already weighted.
class Description {
  public:
    explicit Description(std::size_t beats) : rows_(beats) {}

    // A level in decibels: 20 dB count as `weight`.
    void level(std::vector<double> db, double weight) {
        const double high = *std::max_element(db.begin(), db.end());
        for (std::size_t i = 0; i < rows_.size(); ++i)
            rows_[i].push_back(weight * (std::max(db[i], high - range_db) - high) / 20);
    }
    // Strokes: the song's strong ones, its 95th hundredth, count as `weight`.
    void strokes(const std::vector<double>& strength, double weight) {
        std::vector<double> sorted = strength;
        const auto at = static_cast<std::ptrdiff_t>((sorted.size() - 1) * 19 / 20);
        std::nth_element(sorted.begin(), sorted.begin() + at, sorted.end());
        const double full = sorted[static_cast<std::size_t>(at)];
        for (std::size_t i = 0; i < rows_.size(); ++i)
            rows_[i].push_back(full > 0 ? weight * std::min(strength[i] / full, 1.5) : 0);
    }
    void share(const std::vector<double>& x, double weight) {
        for (std::size_t i = 0; i < rows_.size(); ++i)
            rows_[i].push_back(weight * x[i]);
    }
    std::vector<double> mean(std::size_t from, std::size_t to) const {
        std::vector<double> out(rows_.front().size(), 0.0);
        for (std::size_t i = from; i < to; ++i)
            for (std::size_t d = 0; d < out.size(); ++d)
                out[d] += rows_[i][d] / static_cast<double>(to - from);
        return out;
    }

  private:
    std::vector<std::vector<double>> rows_;
};

std::vector<double> column(const std::vector<std::vector<double>>& rows, std::size_t d) {
    std::vector<double> out;
    for (const auto& row : rows)
        out.push_back(row[d]);
    return out;
}

// Weights by hand: 6 dB in everything, a bass that falls silent, another chord and another rhythm each come to
// 0.3 to 0.6.
Description describe(const BeatContent& c) {
    Description out(c.low.size());
    out.level(c.lufs, 1.0);
    out.level(c.bass_db, 0.4);
    const std::size_t octaves = c.colour_db.front().size();
    for (std::size_t d = 0; d < octaves; ++d)
        out.level(column(c.colour_db, d), 0.8 / std::sqrt(static_cast<double>(octaves)));
    for (std::size_t d = 0; d < c.chord.front().size(); ++d)
        out.share(column(c.chord, d), 0.4);
    for (const auto* strength : {&c.low, &c.mid, &c.presence, &c.high})
        out.strokes(*strength, 0.25);
    return out;
}

} // namespace

BarContent bar_content(const BeatContent& content, const BeatGrid& grid) {
    BarContent out;
    out.first = bar_starts(grid);
    const Description description = describe(content);
    std::vector<std::vector<double>> rows;
    for (std::size_t b = 0; b < out.bars(); ++b)
        rows.push_back(description.mean(out.first[b], out.first[b + 1]));
    out.apart.assign(out.bars() * BarContent::reach, 0.0);
    for (std::size_t a = 0; a < out.bars(); ++a)
        for (std::size_t k = 1; k < BarContent::reach && a + k < out.bars(); ++k) {
            double sum = 0;
            for (std::size_t d = 0; d < rows[a].size(); ++d)
                sum += (rows[a][d] - rows[a + k][d]) * (rows[a][d] - rows[a + k][d]);
            out.apart[a * BarContent::reach + k] = std::sqrt(sum);
        }
    double brightest = 0;
    for (std::size_t b = 0; b < out.bars(); ++b) {
        out.struck.push_back(content.high[out.first[b]] + content.presence[out.first[b]]);
        brightest = std::max(brightest, out.struck.back());
    }
    for (double& x : out.struck)
        x = brightest > 0 ? x / brightest : 0;
    return out;
}

} // namespace downball::beats
