// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/long_work.h"
#include "downball/clocks/camera_time.h"

#include <cstddef>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace downball::clocks {

// A contact in a file: seconds of real life after its first picture.
struct Contact {
    double at_s = 0;
    double confidence = 1; // 0..1
};

// A recording as its camera placed it in the day.
struct Recording {
    std::string camera;
    std::optional<Began> began;    // by its camera's clock
    double real_s = 0;             // how long it lasted in real life
    std::vector<Contact> contacts; // in order
};

// What to add to a camera's clock to have the clock of the day.
struct Offset {
    std::string camera;
    std::string against =
        {};                  // the camera it was heard together with; empty: given, or the day's clock itself
    double offset_s = 0;     // at `middle_s` of the day
    double drift_ppm = 0;    // what the offset grows by, in millionths of the time that passes
    double middle_s = 0;     // by the day's clock
    bool drifts = false;     // is the drift more than what chance would show?
    double error_s = 0;      // how far off the offset may be
    double confidence = 1;   // 0..1: how likely it is right to within error_s
    std::size_t rallies = 0; // heard together
};

// Offsets that are less sure group nothing, and nothing goes by them.
inline constexpr double sure_enough = 0.8;

struct DayClock {
    std::map<std::string, Offset> cameras; // those whose clock is known; the others heard nothing together
};

// Finds what the cameras' clocks are apart by rallies that two of them heard: the pauses between a rally's
// contacts are its fingerprint. `given` are offsets that are known, which stay. The clock of the day is that of the
// cameras in `given` that have recordings, else of the one with the most recordings (ties: the first by name).
// For grouping recordings and for telling one contact in two of them, never to bring frames into sync: the clocks
// of cameras are read to a second as a rule, and sound comes late by 2.9 ms a metre.
DayClock set_day_clock(std::span<const Recording> recordings, const std::map<std::string, double>& given,
                       const LongWork& work = {});

// The recording's first picture by the day's clock; nothing where its camera's clock or its own start is not known.
std::optional<double> day_seconds(const DayClock& clock, const Recording& recording);

// For each recording the number of its moment, from 0 in order of the day, or -1. Recordings of several cameras
// share a moment if contacts of one rally are in both, or if one shows no contact and began within `answer_s`
// after the last contact of the rally, as reactions do. A recording of several rallies has none, since a row of a
// log has one moment. Alone nobody has one.
std::vector<int> moments(const DayClock& clock, std::span<const Recording> recordings);

// For recordings of one moment, the number of each contact in the rally, from 0 in order of play: contacts of
// several recordings with one number are the same one, each within 100 ms of where the fullest recording that has it heard it.
// Contacts are best given as their pictures show them, without the way of the sound. Nothing where the clocks leave
// open which is which.
std::optional<std::vector<std::vector<int>>> number_contacts(const DayClock& clock,
                                                             std::span<const Recording> of_moment);

} // namespace downball::clocks
