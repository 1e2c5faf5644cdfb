// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/time/fraction.h"
#include "downball/time/tick.h"

#include <optional>
#include <string>
#include <vector>

namespace downball {

// A contact held on a beat. error_s = record instant of the picture - beat instant; positive = picture late.
struct Anchor {
    std::size_t impact = 0; // index in Take::impacts
    std::size_t beat = 0;   // index in BeatGrid::beats
    double error_s = 0;
};

// A part of a shot that runs at one speed: source length / record length. Neighbours abut in record and source.
struct Stretch {
    FrameRange record; // from record start
    FrameRange source; // list frames, whole
};

// One shot of the cut. Record frames count from record start (0), source frames are
// list frames by the file's start label (see SourceCount). Media seconds shown at record frame r:
// (source_in - phase + (r - record.in) x speed) / rate.
struct PlannedShot {
    std::string id;       // take id + anchor contact's id; cutaways: take id @ ordinal
    std::size_t take = 0; // index in ShotLog::takes
    FrameRange record;
    Frame source_in;
    Fraction speed{1};              // media seconds a record second; below 1 = slow motion
    std::vector<Anchor> anchors;    // the first one places the shot; more are welcome hits
    std::vector<Stretch> stretches; // a rally on the beat, else empty: they tile `record`, all anchors are
                                    // held on purpose, and `speed` is that of the slowest
};

// What one soft term gave: value before the weight, points = weight x value.
struct TermScore {
    std::string name;
    double weight = 0;
    double value = 0;
    double points() const { return weight * value; }
};

struct CutPlan {
    Frame length;
    double song_start_s = 0;        // song instant at record frame 0
    std::vector<PlannedShot> shots; // in record order, tiling [0, length)
    std::vector<TermScore> terms;
    double score = 0; // sum of the terms' points
    double limit = 0; // no cut within the limits can score more than this (proven)
    // Points that only rounding makes are no gap.
    double gap() const { return limit > 0 && limit - score > 1e-6 ? (limit - score) / limit : 0; }
};

// A cut made before, as far as the next one may stay with it.
struct LastCut {
    struct Shot {
        std::string id;
        std::string take;    // id of its take
        bool action = false; // hangs by a contact
        double at_s = 0;   // record seconds of what it hangs on: its first anchor's beat, or its first frame
        Fraction speed{1}; // as planned or as delivered, which an M2 line may have rounded
        FrameRange record;
        Frame source_in;
        std::size_t held = 1; // contacts of a rally on the beat
    };
    std::vector<Shot> shots;
    double frame_s = 0; // length of a record frame of it, which may have been another then; 0 = as now
};

// Why no cut satisfies the limits: limits that cannot be met together, in the user's words, and for each the
// nearest value that would do where that is known.
struct Conflict {
    std::vector<std::string> limits;
    std::vector<std::string> remedies;
    bool proven = true; // false: none was found in a long search, but none is not proven
};

} // namespace downball
