// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/model/source_count.h"

namespace downball {

SourceCount count_source(const MediaInfo& media, Rate list) {
    SourceCount count{list, {}, {}};
    if (!media.start) return count;
    const Fraction exact = seconds_of(media.start->at, media.start->rate) * list.value();
    count.first = {floor(exact)};
    count.phase = exact - Fraction(count.first.n);
    return count;
}

} // namespace downball
