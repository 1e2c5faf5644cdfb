// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "preview/shown.h"

namespace downball::preview {

Fraction exact_media_s(const TimelineMedia& media, Frame source, Rate list) {
    return (Fraction((source - media.first).n) - media.phase) / list.value();
}

std::vector<Fraction> shown_s(const VideoEvent& event, const TimelineMedia& media, Rate list) {
    std::vector<Fraction> instants;
    const Fraction in_s = exact_media_s(media, event.source.in, list), step_s = event.speed / list.value();
    for (std::int64_t k = 0; k < event.record.length().n; ++k)
        instants.push_back(in_s + Fraction(2 * k + 1, 2) * step_s);
    return instants;
}

} // namespace downball::preview
