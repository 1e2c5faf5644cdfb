// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/timeline/build.h"

#include <vector>

namespace downball::timeline {

// The song under the cut: one event, shorter than the cut where the song ends earlier or starts later.
Result<std::vector<AudioEvent>> song_events(const Sources& sources, std::size_t entry,
                                            const TimelineMedia& song, std::vector<std::string>& notes);

// The natural sound of the hits on A2. The sound instant of a contact, not its picture instant, lies on the
// beat, at real speed:
//
//   picture  |--------x------------|   x: contact seen     a shot at real speed lends its whole length,
//   sound    |--------o------------|   o: contact heard    from a source in that is later by the sound's way
//
// With a J-cut it begins earlier than the picture, with an L-cut it runs on after it, as far as the file and the cut
// reach. Of two that would overlap the earlier ends where the later begins, which leaves the earlier one's hit.
// A retimed shot lends just the hit, since its sound would run away from its picture. Sources are relative
// to the clip's zero.
std::vector<AudioEvent> natural_events(const Sources& sources, const std::vector<std::size_t>& entry_of,
                                       const BuildOptions& options, std::vector<std::string>& notes);

} // namespace downball::timeline
