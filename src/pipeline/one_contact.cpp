// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/one_contact.h"

#include "pipeline/camera_day.h"

namespace downball::pipeline {

void number_contacts(ShotLog& log, const job::Job& job) {
    std::map<std::string, std::vector<std::size_t>> moments;
    for (std::size_t t = 0; t < log.takes.size(); ++t)
        if (!log.takes[t].moment.empty() && !log.takes[t].impacts.empty() && log.takes[t].use != Use::never)
            moments[log.takes[t].moment].push_back(t);
    std::erase_if(moments, [](const auto& moment) { return moment.second.size() < 2; });
    if (moments.empty()) return;

    // A file of several takes is one recording.
    std::vector<DayClip> clips(log.media.size());
    for (const Take& take : log.takes) {
        DayClip& clip = clips[take.media];
        clip.media = &log.media[take.media];
        clip.camera = take.camera;
        clip.capture_fps = take.capture_fps;
        for (const Impact& impact : take.impacts)
            clip.heard.push_back({impact.picture_s, impact.confidence});
    }
    const auto recordings = recordings_of(clips);
    const auto clock = clocks::set_day_clock(recordings, given_offsets(job));
    for (const auto& [moment, takes] : moments) {
        std::vector<clocks::Recording> its;
        for (const std::size_t t : takes) {
            clocks::Recording& one = its.emplace_back(recordings[log.takes[t].media]);
            const double slower = times_slower(log.media[log.takes[t].media], log.takes[t].capture_fps);
            one.contacts.clear();
            for (const Impact& impact : log.takes[t].impacts)
                one.contacts.push_back({impact.picture_s / slower, impact.confidence});
        }
        const auto numbers = clocks::number_contacts(clock, its);
        if (!numbers) continue;
        for (std::size_t n = 0; n < takes.size(); ++n)
            for (std::size_t i = 0; i < (*numbers)[n].size(); ++i)
                log.takes[takes[n]].impacts[i].event = (*numbers)[n][i];
    }
}

} // namespace downball::pipeline
