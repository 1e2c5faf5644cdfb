// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "beats/song_features.h"

#include "downball/model/beat_grid.h"

#include <vector>

namespace downball::beats {

// What each beat sounds like, up to the next one.
std::vector<BeatTexture> beat_textures(const SongFeatures& song, const std::vector<double>& beats_s);

// 0..1: could beat b be heard in place of beat a? Half for harmony, half for levels. Without textures, by what
// the grid says of energy, low end and strength.
double likeness(const BeatGrid& grid, std::size_t a, std::size_t b);

// The same of two joins: the beats before and after beat a against those around b, `reach` on either side as
// far as both have them.
double join_likeness(const BeatGrid& grid, std::size_t a, std::size_t b, std::size_t reach);

} // namespace downball::beats
