// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/timeline/build.h"

#include <string>

namespace downball::test {

// A day small enough to reckon by hand, to be changed by each test: a song with a beat every half second, a
// file of 10 s at 50 pictures a second, one action take in it with a contact at 2.0 s (heard 40 ms later).
struct SmallDay {
    ShotLog log;
    BeatGrid beats;
    CutPlan plan;
    Limits limits;
    MediaInfo song;
    timeline::BuildOptions options;

    SmallDay() {
        for (int i = 0; i < 40; ++i)
            beats.beats.push_back({i * 0.5, i % 4 + 1, 0.5, 0.5});
        beats.duration_s = 20;
        song = file("song.wav", 20, {});
        song.has_video = false;
        options.folder = "/day";
        add_file("C1_0001.mp4", 10, Rate(50));
        add_take("T1", 0, Kind::action);
        add_impact(0, 2.04, 2.0);
    }

    static MediaInfo file(const std::string& name, double duration_s, std::optional<Rate> rate) {
        MediaInfo media;
        media.path = "cards/" + name;
        media.name = name;
        media.id = "00000000000000aa";
        media.duration_s = duration_s;
        media.has_video = true;
        media.rate = rate;
        media.average_fps = rate ? rate->per_second() : 0;
        media.frames.constant = rate;
        media.audio = AudioInfo{48000, 2, 0, duration_s};
        return media;
    }
    MediaInfo& add_file(const std::string& name, double duration_s, std::optional<Rate> rate) {
        log.media.push_back(file(name, duration_s, rate));
        return log.media.back();
    }
    Take& add_take(const std::string& id, std::size_t media, Kind kind) {
        Take take;
        take.id = id;
        take.media = media;
        take.kind = kind;
        take.out_s = log.media[media].duration_s;
        log.takes.push_back(take);
        return log.takes.back();
    }
    void add_impact(std::size_t take, double sound_s, double picture_s) {
        Impact impact;
        impact.id = log.takes[take].id + "#" + std::to_string(static_cast<int>(sound_s * 1000));
        impact.sound_s = sound_s;
        impact.picture_s = picture_s;
        impact.confidence = 0.9;
        log.takes[take].impacts.push_back(impact);
    }
    // A shot behind the last one.
    PlannedShot& shot(std::size_t take, std::int64_t length, std::int64_t source_in,
                      Fraction speed = Fraction(1)) {
        PlannedShot shot;
        shot.id = log.takes[take].id + "@" + std::to_string(plan.shots.size());
        shot.take = take;
        shot.record = {plan.length, plan.length + Frame{length}};
        shot.source_in = Frame{source_in};
        shot.speed = speed;
        plan.length = shot.record.out;
        plan.shots.push_back(shot);
        return plan.shots.back();
    }

    Result<Timeline> build() const { return timeline::build({plan, beats, log, limits, song}, options); }
};

inline bool any_note(const Timeline& timeline, const std::string& part) {
    for (const auto& note : timeline.notes)
        if (note.find(part) != std::string::npos) return true;
    return false;
}

} // namespace downball::test
