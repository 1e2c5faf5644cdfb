// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/camera_day.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <fmt/chrono.h>
#include <fmt/format.h>

namespace downball::pipeline {

std::vector<clocks::Recording> recordings_of(std::span<const DayClip> clips) {
    std::map<std::string, std::vector<std::size_t>> cameras;
    for (std::size_t i = 0; i < clips.size(); ++i)
        cameras[clips[i].camera].push_back(i);
    std::vector<clocks::Recording> recordings(clips.size());
    for (auto& [camera, members] : cameras) {
        std::stable_sort(members.begin(), members.end(), [&](std::size_t a, std::size_t b) {
            return clips[a].media->path < clips[b].media->path;
        });
        std::vector<const MediaInfo*> files;
        std::vector<double> real_s;
        for (const std::size_t i : members) {
            files.push_back(clips[i].media);
            real_s.push_back(clips[i].media->duration_s /
                             times_slower(*clips[i].media, clips[i].capture_fps));
        }
        const auto began = clocks::read_camera_clock(files, real_s);
        for (std::size_t n = 0; n < members.size(); ++n) {
            const DayClip& clip = clips[members[n]];
            clocks::Recording& recording = recordings[members[n]];
            recording = {camera, began[n], real_s[n], {}};
            const double slower = times_slower(*clip.media, clip.capture_fps);
            for (const clocks::Contact& contact : clip.heard)
                recording.contacts.push_back({contact.at_s / slower, contact.confidence});
            std::ranges::stable_sort(recording.contacts, {}, &clocks::Contact::at_s);
        }
    }
    return recordings;
}

std::map<std::string, double> given_offsets(const job::Job& job) {
    std::map<std::string, double> given;
    for (const auto& [id, camera] : job.cameras)
        if (camera.clock_offset_s) given.emplace(id, *camera.clock_offset_s);
    return given;
}

std::string date_and_time(double seconds) {
    constexpr double dated_s = 365 * 86400.0; // no clock tells a date before 1971, see seconds_since_1970
    const auto whole = static_cast<std::time_t>(std::floor(seconds));
    return seconds < dated_s ? fmt::format("{:%H:%M:%S}", fmt::gmtime(whole))
                             : fmt::format("{:%Y-%m-%d %H:%M:%S}", fmt::gmtime(whole));
}

namespace {

// How far a clock is behind that of the camera it was heard with, since offsets are to the clock of the day.
double behind_s(const clocks::Offset& offset, const clocks::DayClock& clock) {
    const auto against = clock.cameras.find(offset.against);
    if (against == clock.cameras.end()) return offset.offset_s;
    const clocks::Offset& its = against->second;
    return offset.offset_s - its.offset_s - its.drift_ppm * 1e-6 * (offset.middle_s - its.middle_s);
}

std::string drift_of(const clocks::Offset& offset) {
    if (!offset.drifts) return "";
    constexpr double hour_s = 3600;
    return fmt::format(", drifts by {:+.2f} s an hour", offset.drift_ppm * 1e-6 * hour_s);
}

} // namespace

std::vector<std::string> tell_clocks(const clocks::DayClock& clock, const job::Job& job) {
    constexpr double worth_telling = 0.5;
    std::vector<std::string> lines;
    for (const auto& [camera, offset] : clock.cameras) {
        if (offset.against.empty() || offset.confidence < worth_telling) continue;
        const auto settings = job.cameras.find(camera);
        const double apart_s = behind_s(offset, clock);
        lines.push_back(fmt::format(
            "camera {}: its clock is {:.1f} s {} that of {} (within {:.1f} s, by {} rallies both heard; "
            "confidence "
            "{:.2f}){}",
            camera, std::abs(apart_s), apart_s < 0 ? "ahead of" : "behind", offset.against,
            std::max(offset.error_s, 0.1), offset.rallies, offset.confidence, drift_of(offset)));
        // A job that is to be made gets it anyway.
        if (settings != job.cameras.end())
            lines.back() +=
                fmt::format("; cameras.{}.clock_offset_s: {:.2f} holds it fast", camera, offset.offset_s);
    }
    return lines;
}

} // namespace downball::pipeline
