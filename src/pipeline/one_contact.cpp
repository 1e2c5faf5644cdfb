// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/one_contact.h"

#include "pipeline/camera_day.h"

#include <map>
#include <set>

namespace downball::pipeline {
namespace {

using Moments = std::map<std::string, std::vector<std::size_t>>; // takes

// The recordings of cameras that share a moment with another.
std::vector<clocks::Recording> of_cameras(const std::vector<clocks::Recording>& all, const ShotLog& log,
                                          const Moments& moments) {
    std::set<std::string> wanted;
    for (const auto& [moment, takes] : moments)
        for (const std::size_t t : takes)
            if (log.takes[t].camera != log.takes[takes.front()].camera) {
                wanted.insert(log.takes[t].camera);
                wanted.insert(log.takes[takes.front()].camera);
            }
    std::vector<clocks::Recording> some;
    for (const auto& one : all)
        if (wanted.contains(one.camera)) some.push_back(one);
    return some;
}

} // namespace

void number_contacts(ShotLog& log, const job::Job& job, const LongWork& work) {
    Moments moments;
    for (std::size_t t = 0; t < log.takes.size(); ++t)
        if (const Take& take = log.takes[t]; !take.moment.empty() && !take.impacts.empty() &&
                                             take.kind == Kind::action && take.use != Use::never)
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
    const auto clock = clocks::set_day_clock(of_cameras(recordings, log, moments), given_offsets(job), work);
    for (const auto& [moment, takes] : moments) {
        std::vector<clocks::Recording> its;
        for (const std::size_t t : takes) {
            // The take alone: outside it nobody listened.
            const Take& take = log.takes[t];
            clocks::Recording& one = its.emplace_back(recordings[take.media]);
            const double slower = times_slower(log.media[take.media], take.capture_fps);
            if (one.began) one.began->at_s += take.in_s / slower;
            one.real_s = (take.out_s - take.in_s) / slower;
            one.contacts.clear();
            for (const Impact& impact : take.impacts)
                one.contacts.push_back({(impact.picture_s - take.in_s) / slower, impact.confidence});
        }
        const auto numbers = clocks::number_contacts(clock, its);
        if (!numbers) continue;
        for (std::size_t n = 0; n < takes.size(); ++n)
            for (std::size_t i = 0; i < (*numbers)[n].size(); ++i)
                log.takes[takes[n]].impacts[i].event = (*numbers)[n][i];
    }
}

} // namespace downball::pipeline
