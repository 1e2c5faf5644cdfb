// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "media/input.h"
#include "media/survey.h"

#include "downball/model/media_info.h"

namespace downball::media {

// The rate, length and frame table of a picture track, by what its packets told.
void keep_rate(const Survey& found, const Input& input, const AVStream* picture, MediaInfo& info);

// The same by the container's index; false, and nothing is kept, if it does not tell them.
bool keep_indexed_rate(const Input& input, const AVStream* picture, MediaInfo& info);

} // namespace downball::media
