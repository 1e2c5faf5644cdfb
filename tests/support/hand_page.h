// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "support/hand_report.h"

#include "downball/page/page.h"

namespace downball::test {

// The hand-made cut as the page gets it. The parts may be changed before page() is asked for.
struct HandPage {
    HandReport hand;
    std::string song = "track.wav";
    std::map<std::string, std::string> names{{"mara", "Mara Kjell"}};
    std::vector<Warning> warnings{{"no note on the song's licence"}, {"it flashes", FrameRange{{10}, {30}}}};
    std::vector<float> waveform{0.1f, 0.9f, 0.5f, 0.2f};
    std::map<Frame, std::string> stills{{Frame{0}, "/9ggcGljdHVyZQ=="}};
    std::string movie = "strandtag.mp4";

    HandPage() {
        hand.log.media.resize(1);
        hand.log.media.front().name = "C1_01.mov";
        hand.beats.sections = {{0, 40, 0.3, 1}, {40, 160, 0.8, 0.9}};
    }

    std::string page() const {
        const auto covered = coverage::cover({hand.log, hand.limits, {}, {}, nullptr});
        return page::review_page({hand.cut,
                                  hand.plan,
                                  hand.beats,
                                  hand.log,
                                  hand.limits,
                                  covered,
                                  song,
                                  names,
                                  warnings,
                                  {{3, "the log says never"}},
                                  waveform,
                                  stills,
                                  movie});
    }
};

} // namespace downball::test
