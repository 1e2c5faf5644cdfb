// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beats/form.h"

#include <algorithm>
#include <cmath>

namespace downball::beats {

namespace {

double quantile(std::vector<double> x, double q) {
    const auto at = static_cast<std::ptrdiff_t>(q * static_cast<double>(x.size() - 1));
    std::nth_element(x.begin(), x.begin() + at, x.end());
    return x[static_cast<std::size_t>(at)];
}

// 0..1 between the song's quiet and loud beats; a song that hardly varies keeps hardly varying.
std::vector<double> scaled(const std::vector<double>& db) {
    const double high = quantile(db, 0.95);
    const double low = std::min(std::max(quantile(db, 0.05), high - 30), high - 6);
    std::vector<double> out;
    for (double v : db)
        out.push_back(std::clamp((v - low) / (high - low), 0.0, 1.0));
    return out;
}

double mean(const std::vector<double>& x, std::size_t from, std::size_t to) {
    double sum = 0;
    for (std::size_t i = from; i < to; ++i)
        sum += x[i];
    return to > from ? sum / static_cast<double>(to - from) : 0;
}

// Difference of the means over up to `reach` beats on either side.
double step_at(const std::vector<double>& x, std::size_t i, std::size_t reach) {
    return mean(x, i, std::min(x.size(), i + reach)) - mean(x, i > reach ? i - reach : 0, i);
}

// Beats where one part ends and another begins: peaks of the step in loudness, bass and brightness over 16
// beats, strongest first, at least 8 beats apart, then moved to the downbeat if one is next to them.
std::vector<std::size_t> borders(const std::vector<double>& energy, const std::vector<double>& bass,
                                 const BeatGrid& grid) {
    const std::size_t n = energy.size();
    std::vector<std::pair<double, std::size_t>> found;
    for (std::size_t i = 4; i + 4 < n; ++i) {
        const double change = std::abs(step_at(energy, i, 16)) + 0.5 * std::abs(step_at(bass, i, 16)) +
                              0.25 * std::abs(step_at(energy, i, 4)) + 0.25 * std::abs(step_at(bass, i, 4));
        if (change > 0.4) found.push_back({change, i});
    }
    std::stable_sort(found.begin(), found.end(),
                     [](const auto& a, const auto& b) { return a.first > b.first; });
    std::vector<std::size_t> out;
    for (const auto& [change, place] : found) {
        std::size_t at = place;
        for (std::size_t near : {at, at + 1, at - 1})
            if (near < n && grid.beats[near].position == 1) {
                at = near;
                break;
            }
        const bool apart = std::all_of(out.begin(), out.end(), [&](std::size_t other) {
            return (other > at ? other - at : at - other) >= 8;
        });
        if (apart) out.push_back(at);
    }
    std::sort(out.begin(), out.end());
    return out;
}

} // namespace

void add_form(const BeatContent& content, BeatGrid& grid) {
    const std::size_t n = grid.beats.size();
    if (n == 0) return;
    const auto energy = scaled(content.loudness_db), bass = scaled(content.bass_db);
    for (std::size_t i = 0; i < n; ++i)
        grid.beats[i].energy = mean(energy, i > 1 ? i - 1 : 0, std::min(n, i + 2));

    std::vector<std::size_t> cuts = borders(energy, bass, grid);
    cuts.insert(cuts.begin(), 0);
    cuts.push_back(n);
    for (std::size_t s = 0; s + 1 < cuts.size(); ++s)
        grid.sections.push_back({cuts[s], cuts[s + 1], mean(energy, cuts[s], cuts[s + 1])});

    // A drop is where loudness and bass come back together and stay; a bar of silence before it is enough.
    double strongest = 0.2;
    for (std::size_t s = 1; s + 1 < cuts.size(); ++s) {
        const std::size_t at = cuts[s];
        const double rise = step_at(energy, at, 16) + 0.5 * step_at(bass, at, 16);
        const double level = mean(energy, at, std::min(n, at + 16));
        if (rise * (0.5 + level) > strongest) {
            strongest = rise * (0.5 + level);
            grid.arrival = at;
        }
    }
}

} // namespace downball::beats
