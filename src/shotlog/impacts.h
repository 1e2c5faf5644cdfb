// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "shotlog/rally.h"

#include "downball/model/heard.h"
#include "downball/model/shot_log.h"
#include "downball/shotlog/log.h"

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace downball::shotlog {

// From the microphone to the eye: picture instant = sound instant - later_by_s. `slowed` says how many times
// slower than life the file plays, 1 as a rule; the way of the sound is stretched with it.
struct SoundPath {
    double later_by_s = 0;
    double slowed = 1;
    bool distance_known = false;
};
SoundPath sound_path(const Row& row, const MediaInfo& media, const CameraSettings& camera,
                     double air_temperature_c);

// A contact as heard or written, before it belongs to a take.
struct SoundContact {
    double sound_s = 0;
    double confidence = 0;
    double strength = 0;
    ContactSource source = ContactSource::heard;
    bool by_hand = false;            // then the user must hear of it if it lies outside the take
    std::optional<double> hard = {}; // Heard::hard; nothing where no hearing told
};

// Contacts (in order of time) and marks as impacts of one take, in order of picture_s. A mark within 60 ms
// (of real life) of a contact's picture instant takes its place but keeps what was heard, and its id;
// as many pairs as can be without crossing, and of those the nearest. Any other mark is an impact of its own,
// whose sound is where that contact would be heard. Ids: take id # whole milliseconds of the sound instant,
// of a lone mark those of the picture instant; an id that is taken counts on by one.
std::vector<Impact> make_impacts(const std::string& take, std::span<const SoundContact> contacts,
                                 std::span<const double> marks_s, const SoundPath& path);

// Gives the skills of a take to those of its impacts that are sure enough to be used. As many skills as such
// impacts, at times that a rally has: one each in order, and that is sure. Else it is a guess, by the likeliest
// reading of the rally, see rally.h; skills that were not heard go to nobody. `slowed` as in SoundPath.
void give_skills(std::span<const Skill> skills, std::vector<Impact>& impacts, double slowed,
                 double confidence_floor, RallyReader& reader);

} // namespace downball::shotlog
