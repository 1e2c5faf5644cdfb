// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beats/form.h"

#include "beats/arrival.h"
#include "beats/bar_content.h"
#include "beats/mean.h"
#include "beats/phrases.h"
#include "beats/sections.h"

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

} // namespace

void add_form(const BeatContent& content, BeatGrid& grid) {
    const std::size_t n = grid.beats.size();
    if (n == 0) return;
    grid.textures = content.textures;
    grid.loudness_lufs = content.song_lufs;
    const auto energy = scaled(content.lufs), bass = scaled(content.bass_db);
    for (std::size_t i = 0; i < n; ++i) {
        grid.beats[i].energy = mean(energy, i > 1 ? i - 1 : 0, std::min(n, i + 2));
        grid.beats[i].loudness_lufs = content.lufs[i];
        grid.beats[i].low_end = mean(bass, i > 1 ? i - 1 : 0, std::min(n, i + 2));
    }
    const BarContent bars = bar_content(content, grid);
    const auto borders = section_borders(bars);
    for (std::size_t s = 0; s < borders.size(); ++s) {
        const std::size_t first = bars.first[borders[s].bar];
        const std::size_t last = s + 1 < borders.size() ? bars.first[borders[s + 1].bar] : n;
        grid.sections.push_back({first, last, mean(energy, first, last), borders[s].confidence});
    }
    if (grid.beats_per_bar > 0) {
        const Phrasing phrasing = find_phrases(bars, borders);
        grid.bars_per_phrase = phrasing.bars;
        grid.phrase_confidence = phrasing.confidence * grid.downbeat_confidence;
        for (std::size_t p = 0; p < phrasing.first.size(); ++p)
            grid.phrases.push_back({bars.first[phrasing.first[p]],
                                    p + 1 < phrasing.first.size() ? bars.first[phrasing.first[p + 1]] : n});
    }
    if (const auto arrival = find_arrival(bars, energy, bass)) {
        grid.arrival = arrival->beat;
        grid.arrival_confidence = arrival->confidence;
    }
}

} // namespace downball::beats
