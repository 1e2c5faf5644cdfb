// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "unit/media/counter_clips.h"

#include "downball/model/timeline.h"

// A short timeline over a clip whose pictures tell their numbers.
namespace downball::test {

// 4 s at 25: 1 s of black, 2 s of a clip of 50 from its second 0.48 on, 1 s of it from second 2 at half its speed.
struct CounterReel {
    TempFolder folder;
    Timeline timeline;

    CounterReel() {
        ffmpeg(counter("50", 4) + "-r 50 -c:v libx264 -preset veryfast -bf 2 -g 30 " + (folder / "clip.mov"));
        timeline.rate = Rate(25);
        timeline.length = Frame{100};
        TimelineMedia clip;
        clip.path = folder / "clip.mov";
        clip.name = "clip.mov";
        clip.rate = Rate(50);
        clip.first = Frame{1000};
        clip.has_video = true;
        timeline.media = {clip};
        add({Frame{0}, Frame{25}}, std::nullopt, 0, Fraction(1));
        add({Frame{25}, Frame{75}}, 0, 1012, Fraction(1));
        add({Frame{75}, Frame{100}}, 0, 1050, Fraction(1, 2));
    }
    void add(FrameRange record, std::optional<std::size_t> media, std::int64_t from, Fraction speed) {
        VideoEvent event;
        event.shot = "T1#500";
        event.media = media;
        event.record = record;
        event.source = {Frame{from}, Frame{from + floor(Fraction(record.length().n) * speed)}};
        event.speed = speed;
        timeline.video.push_back(event);
    }
};

} // namespace downball::test
