// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/model/tags.h"
#include "downball/time/fraction.h"
#include "downball/time/rate.h"
#include "downball/time/timecode.h"

#include <optional>
#include <string>
#include <vector>

namespace downball {

// A file the lists refer to. Source frames are list frames (media seconds x list rate, rounded once) and
// count from `first`, the label of the file's first picture; one origin serves EDL and OTIO.
struct TimelineMedia {
    std::string path;         // absolute
    std::string name;         // file name alone
    std::string id;           // content hash
    std::string reel;         // 1-8 of A-Z 0-9, unique per file
    Frame first;              // list frame at or before the start label; 0 if the file has none
    Frame length;             // whole list frames from `first` to the file's end
    std::optional<Rate> rate; // of the media; nothing = variable or audio only
    double duration_s = 0;
    bool has_video = false;
    int audio_channels = 0;
    Fraction phase{}; // list frames from `first` to the first picture, 0 <= phase < 1; see SourceCount
    std::string moved_from{}; // the path in the log, if the file lay elsewhere when it was logged

    // The start label as an instant of its day.
    Fraction label_s(Rate list) const { return (Fraction(first.n) + phase) / list.value(); }
    // Media second that a source frame, label included, shows.
    double media_s(Frame source, Rate list) const {
        return (Fraction((source - first).n) - phase).to_double() / list.per_second();
    }
};

struct Marker {
    Frame at; // record frames from record start
    std::string name;
};

// Source and record as list frames: record from record start (add Timeline::start for labels), source
// including the media's `first`. Source length = round(record length x speed), less the part of a frame that
// the end of the file cuts off. `speed` is what every list delivers: see timeline/build.h and model/m2.h.
struct VideoEvent {
    std::string shot;                 // PlannedShot::id
    std::string take;                 // Take::id
    std::optional<std::size_t> media; // index in Timeline::media; nothing = black
    FrameRange record;
    FrameRange source;
    Fraction speed{1};
    std::vector<Marker> contacts; // anchored contacts
    int part = 0;                 // counts on while the shot goes on at another speed
    double crop_centre = 0.5;     // as in Take
};

// Seconds from record start at which the event, played at `speed`, shows the media instant.
inline double shown_at_s(const VideoEvent& event, const TimelineMedia& file, double media_s, Fraction speed,
                         Rate list) {
    return to_seconds(event.record.in, list) +
           (media_s - file.media_s(event.source.in, list)) / speed.to_double();
}

// Of the parts of one shot, the one that shows the media instant; the first or the last if none does.
inline const VideoEvent& showing(const std::vector<VideoEvent>& parts, const TimelineMedia& file,
                                 double media_s, Rate list) {
    for (const VideoEvent& part : parts)
        if (media_s < file.media_s(part.source.out, list)) return part;
    return parts.back();
}

struct AudioEvent {
    std::size_t media = 0;
    FrameRange record;
    FrameRange source; // always at real speed
    std::string shot;  // natural sound: the shot it belongs to; empty for the song
    int fade_frames = 0;
};

struct Timeline {
    std::string name;
    Rate rate{25};
    Counting counting = Counting::non_drop;
    Frame start; // label of record frame 0
    Frame length;
    std::vector<TimelineMedia> media;
    std::vector<VideoEvent> video;   // tiles [0, length)
    std::vector<AudioEvent> song;    // channel A
    std::vector<AudioEvent> natural; // channel A2; no two overlap
    std::vector<Marker> sections;    // borders of the song's sections
    std::vector<std::string> notes;  // what a reader of the lists may lose
};

// The label that a record frame bears, wrapped at 24 hours; "frame N" where the rate has no labels.
std::string record_label(const Timeline& timeline, Frame at);

// The picture events of each shot, in record order: one, or of a rally on the beat several.
inline std::vector<std::vector<VideoEvent>> parts_of_shots(const Timeline& timeline) {
    std::vector<std::vector<VideoEvent>> shots;
    for (const VideoEvent& event : timeline.video) {
        if (event.part == 0) shots.emplace_back();
        shots.back().push_back(event);
    }
    return shots;
}

} // namespace downball
