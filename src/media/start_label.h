// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/model/media_info.h"

#include <optional>
#include <string>

namespace downball::media {

// A start label as the container holds it, counted at `rate`. Drop frame if ';' or '.' stands before the
// frames and the rate has it. At rates without timecode (100, 120000/1001, 120, ...) the label may have
// three frame digits; its frames are counted straight through at the nominal rate. Nothing for a label of
// another form, out of range, or one that drop frame skips: it names no frame.
std::optional<StartTimecode> read_start_label(const std::string& label, Rate rate);

} // namespace downball::media
