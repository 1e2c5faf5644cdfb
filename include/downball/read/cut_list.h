// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/time/rate.h"
#include "downball/time/tick.h"
#include "downball/time/timecode.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace downball::read {

struct ListedMark {
    Frame at; // record label
    std::string text;
};

// One stretch of one track, as the list says it. Frames are those of the list and count from its midnight, as its
// timecodes do; source frames too, where source out lies below source in if the clip runs over midnight.
struct ListedEvent {
    std::string place; // "line 12"; "/tracks/children/0/children/3" (RFC 6901)
    std::size_t track = 0;
    std::string reel; // empty = not told
    std::string file; // name alone; empty = not told
    std::string shot; // our own id; empty = not told
    bool black = false;
    FrameRange record;
    FrameRange source; // as written: an OTIO's lasts as long as the record, whatever the speed
    bool retimed = false;
    double speed = 1;       // source frames for each record frame; below 0 = backwards
    double speed_slack = 0; // by so much it may be another: an M2 line has one decimal
    std::vector<ListedMark> marks;
};

// A rule for lists that is broken. `rule` counts as DEVELOPERS.md does: 1 to 15 EDL, 16 to 26 OTIO.
struct Breach {
    std::string place;
    std::string what;
    int rule = 0;
};

struct ListedTrack {
    std::string name; // EDL: the channel
    bool picture = false;
};

// What an EDL or OTIO says. Events stand in the order of the list.
struct CutList {
    std::string name;
    Rate rate{25};
    bool rate_told = true; // false: an EDL's, inferred
    bool own_rate = false; // it is written in the list, as in an OTIO, and no other can be said
    Counting counting = Counting::non_drop;
    Frame start; // record label of the first frame
    std::vector<ListedTrack> tracks;
    std::vector<ListedEvent> events;
    std::vector<Breach> breaches;
    std::vector<std::string> passed_over; // what it holds besides, which is not looked at: "line 7: ..."
};

// A CMX3600-style list. It does not say its rate: without one, that of 24, 25, 30, 50 and 60 is taken, in drop frame of
// 30000/1001 and 60000/1001, at which its labels and lengths fit best; the lowest such. Errors, with the line: no list at all, or more than
// 1,000,000 lines. All else that is wrong is among the breaches; an event without a usable label is left out.
Result<CutList> edl(std::string_view text, const std::string& name, std::optional<Rate> rate = std::nullopt);

// An OpenTimelineIO timeline. Errors: no strict JSON, no timeline, a rate that is none. Gaps on a picture track are
// black events, on others nothing. Stacks and tracks inside tracks are passed over, as are unknown objects.
Result<CutList> otio(std::string_view text, const std::string& name);

} // namespace downball::read
