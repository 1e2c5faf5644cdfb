// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/text/json.h"
#include "downball/time/rate.h"
#include "downball/time/tick.h"

#include <string>

// The small objects of OpenTimelineIO, in the versions every reader takes (schemas/otio.schema.json).
namespace downball::write {

text::Json rational_time(double value, Rate rate);
text::Json rational_time(Frame at, Rate rate);
text::Json time_range(Frame start, Frame duration, Rate rate);
// In another rate than the start was counted in, which then need not be whole.
text::Json time_range(Fraction start_s, Frame duration, Rate rate);

// An object of the given schema with a name and our own metadata, which stand in every one of them.
text::Json otio_object(const char* schema, const std::string& name, text::JsonObject own_metadata);

// A Marker.2 on one frame, in the time of the item that bears it.
text::Json otio_marker(const std::string& name, const char* colour, Frame at, Rate rate);

// A Gap.1 of that length.
text::Json otio_gap(Frame duration, Rate rate);

} // namespace downball::write
