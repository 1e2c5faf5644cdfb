// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "preview/shown.h"

namespace downball::preview {

Fraction exact_media_s(const TimelineMedia& media, Frame source, Rate list) {
    return (Fraction((source - media.first).n) - media.phase) / list.value();
}

Fraction shown_s(const VideoEvent& event, const TimelineMedia& media, Rate list, Frame into) {
    return exact_media_s(media, event.source.in, list) +
           Fraction(2 * into.n + 1, 2) * event.speed / list.value();
}

std::vector<Fraction> shown_s(const VideoEvent& event, const TimelineMedia& media, Rate list) {
    std::vector<Fraction> instants;
    for (Frame into; into < event.record.length(); into += Frame{1})
        instants.push_back(shown_s(event, media, list, into));
    return instants;
}

} // namespace downball::preview
