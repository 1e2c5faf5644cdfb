// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "write/otio_values.h"

namespace downball::write {

using text::Json;
using text::JsonArray;
using text::JsonObject;

Json rational_time(double value, Rate rate) {
    return JsonObject{{"OTIO_SCHEMA", "RationalTime.1"}, {"rate", rate.per_second()}, {"value", value}};
}

Json rational_time(Frame at, Rate rate) {
    return rational_time(static_cast<double>(at.n), rate);
}

Json time_range(Frame start, Frame duration, Rate rate) {
    return JsonObject{{"OTIO_SCHEMA", "TimeRange.1"},
                      {"duration", rational_time(duration, rate)},
                      {"start_time", rational_time(start, rate)}};
}

Json time_range(Fraction start_s, Frame duration, Rate rate) {
    return JsonObject{{"OTIO_SCHEMA", "TimeRange.1"},
                      {"duration", rational_time(duration, rate)},
                      {"start_time", rational_time((start_s * rate.value()).to_double(), rate)}};
}

Json otio_object(const char* schema, const std::string& name, JsonObject own_metadata) {
    JsonObject metadata;
    if (!own_metadata.empty()) metadata.emplace_back("downball", std::move(own_metadata));
    return JsonObject{{"OTIO_SCHEMA", schema}, {"metadata", std::move(metadata)}, {"name", name}};
}

Json otio_marker(const std::string& name, const char* colour, Frame at, Rate rate) {
    Json marker = otio_object("Marker.2", name, {});
    marker.add("color", colour);
    marker.add("marked_range", time_range(at, Frame{1}, rate));
    return marker;
}

Json otio_gap(Frame duration, Rate rate) {
    Json gap = otio_object("Gap.1", "", {});
    gap.add("source_range", time_range(Frame{0}, duration, rate));
    gap.add("effects", JsonArray{});
    gap.add("markers", JsonArray{});
    gap.add("enabled", true);
    return gap;
}

} // namespace downball::write
