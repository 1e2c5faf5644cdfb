// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "support/hand_cut.h"

#include "downball/write/report.h"

namespace downball::test {

// What the hand-made cut was planned from, as far as the report asks.
struct HandReport {
    Timeline cut = hand_cut();
    CutPlan plan;
    BeatGrid beats;
    ShotLog log;
    Limits limits;
    std::optional<write::SongAsCut> song;
    std::vector<std::pair<std::string, std::string>> kept;

    HandReport() {
        beats.tempo_bpm = 120;
        beats.beats_per_bar = 4;
        beats.steady = true;
        beats.confidence = 0.9;
        beats.downbeat_confidence = 0.8;
        for (int i = 0; i < 160; ++i)
            beats.beats.push_back({i * 0.5, i % 4 + 1, 0.5, 0.5});
        const auto take = [&](const char* id, Kind kind, std::vector<std::pair<double, Skill>> contacts) {
            Take made;
            made.id = id;
            made.kind = kind;
            made.camera = "C1";
            for (const auto& [seconds, skill] : contacts) {
                Impact impact;
                impact.id = fmt::format("{}#{:.0f}", id, seconds * 1000);
                impact.picture_s = seconds;
                impact.sound_s = seconds + 0.03;
                impact.confidence = 0.75;
                impact.skill = skill;
                made.skills.push_back(skill);
                made.impacts.push_back(impact);
            }
            log.takes.push_back(made);
        };
        take("T1", Kind::action, {{2.02, Skill::attack}, {7.88, Skill::block}});
        take("T2", Kind::action, {{0.9, Skill::set}});
        take("T3", Kind::cutaway, {});
        take("T4", Kind::reaction, {});
        log.takes[0].players = {"mara", "jo"};
        log.takes[0].size = Size::wide;
        log.takes[3].use = Use::never;
        const std::size_t take_of[] = {0, 1, 2, 2, 0};
        for (std::size_t i = 0; i < cut.video.size(); ++i) {
            PlannedShot shot;
            shot.id = cut.video[i].shot;
            shot.take = take_of[i];
            shot.record = cut.video[i].record;
            plan.shots.push_back(shot);
        }
        plan.shots[0].anchors = {{0, 5, 0}}; // beat at 2.5 s of the song, which starts at 2 s
        plan.shots[1].anchors = {{0, 8, 0}};
        plan.shots[4].anchors = {{1, 23, 0}};
        plan.length = cut.length;
        plan.terms = {{"sync", 1, 2.5}, {"variety", 0.5, 0.5}};
        plan.score = 2.75;
        plan.limit = 3;
    }

    std::string text() const {
        return write::report({cut,
                              plan,
                              beats,
                              log,
                              limits,
                              "song/Gezeiten.flac",
                              {"look at this"},
                              {{"Strandtag.edl", "00ff"}},
                              song,
                              kept,
                              std::nullopt,
                              {{3, "the log says that it is never to be used"}}});
    }
};

} // namespace downball::test
