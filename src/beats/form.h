// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "beats/beat_content.h"

#include "downball/model/beat_grid.h"

namespace downball::beats {

// Fills energy and low end of the beats, sections, phrases and arrival of a grid whose beats and positions stand.
void add_form(const BeatContent& content, BeatGrid& grid);

} // namespace downball::beats
