// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/model/media_info.h"
#include "downball/model/tags.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace downball {

// Hand meets ball, ready for the solver. Both instants are media seconds of the take's file. sound_s is when
// the microphone heard it, picture_s when the picture shows it: sound_s less the camera's sound offset and
// the time the sound took from the ball to the camera.
struct Impact {
    std::string id; // take id # instant in ms when first found
    double sound_s = 0;
    double picture_s = 0;
    double confidence = 0; // 0..1; 1 for marks and for contacts the user wrote without a confidence
    double strength = 0;   // 0..1 within the clip
    ContactSource source = ContactSource::heard;
    std::optional<Skill> skill;      // which of the skills in the log this one is
    bool skill_sure = false;         // the log tells; else `skill` is a guess
    bool with_block = false;         // an attack whose sound holds that of the block which met it
    std::optional<double> hard = {}; // Heard::hard; nothing where no hearing told
    // Its number in the rally, where the clocks of the cameras tell: in takes of one moment the same number is the
    // same contact.
    std::optional<int> event = {};
};

// What stands in the note of a row whose kind nobody has looked at yet, alone or in front.
inline constexpr std::string_view kind_guessed = "kind guessed";

struct Score {
    int a = 0;
    int b = 0;
};

// A row of the log: a usable stretch of a file and what it shows.
struct Take {
    std::string id;
    std::size_t media = 0; // index in ShotLog::media
    std::string reel;      // as logged; empty = to be made from the file name
    std::string camera;
    Kind kind = Kind::cutaway;
    std::vector<std::string> players; // roster ids
    std::vector<Skill> skills;        // in order of play
    Size size = Size::unknown;
    Angle angle = Angle::unknown;
    Side side = Side::unknown;
    double crop_centre =
        0.5;        // of what is kept where the reel is narrower than the picture; 0 = left end, 1 = right
    int rating = 3; // 1..5
    double in_s = 0, out_s = 0;  // media seconds, half open
    std::vector<Impact> impacts; // in order of picture_s
    std::optional<double>
        capture_fps;            // pictures a second of real life, where the container plays them slower
    std::string moment;         // takes of one rally share it
    int set = 0;                // 0 = not said
    std::optional<Score> score; // when the rally began
    int ends = 0;               // parity of the changes of ends before this rally: 0 or 1; 0 where not known
    std::string left;           // team that plays from the left end; empty = not known
    std::string serving;        // team that serves; empty = not known
    std::string server;         // who of it; empty = not known
    Use use = Use::free;
    std::string note;
    int order = 0; // place in the day: row order unless the log says better
    int line = 0;  // in log.csv, for complaints
};

struct ShotLog {
    std::vector<MediaInfo> media;
    std::vector<Take> takes;
    std::vector<std::string> notes; // things worth telling that are no errors
};

} // namespace downball
