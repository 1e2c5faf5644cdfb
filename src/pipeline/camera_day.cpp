// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/camera_day.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <fmt/chrono.h>
#include <fmt/format.h>

namespace downball::pipeline {

namespace {

// Clocks without a date are those of the first day that others tell.
void give_a_date(std::vector<clocks::Recording>& recordings) {
    constexpr double day_s = 86400, dated_s = 365 * day_s; // nobody filmed in 1970
    std::optional<double> first_s;
    for (const auto& one : recordings)
        if (one.began && one.began->at_s >= dated_s)
            first_s = std::min(first_s.value_or(one.began->at_s), one.began->at_s);
    if (!first_s) return;
    for (auto& one : recordings)
        if (one.began && one.began->at_s < dated_s) one.began->at_s += day_s * std::floor(*first_s / day_s);
}

} // namespace

std::vector<clocks::Recording> recordings_of(std::span<const DayClip> clips) {
    std::map<std::string, std::vector<std::size_t>> cameras;
    for (std::size_t i = 0; i < clips.size(); ++i)
        cameras[clips[i].camera].push_back(i);
    std::vector<clocks::Recording> recordings(clips.size());
    for (auto& [camera, members] : cameras) {
        std::ranges::stable_sort(members, {}, [&](std::size_t i) {
            return std::pair(clips[i].media->created.value_or(""), clips[i].media->path);
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
    give_a_date(recordings);
    return recordings;
}

std::map<std::string, double> given_offsets(const job::Job& job) {
    std::map<std::string, double> given;
    for (const auto& [id, camera] : job.cameras)
        if (camera.clock_offset_s) given.emplace(id, *camera.clock_offset_s);
    return given;
}

std::string date_and_time(double seconds) {
    constexpr double year_s = 365 * 86400.0, most_s = 200 * year_s;
    if (!(seconds > -year_s && seconds < most_s)) return {}; // no clock that was set
    const auto whole = static_cast<std::time_t>(std::floor(seconds));
    return seconds < year_s ? fmt::format("{:%H:%M:%S}", fmt::gmtime(whole))
                            : fmt::format("{:%Y-%m-%d %H:%M:%S}", fmt::gmtime(whole));
}

namespace {

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
        lines.push_back(
            fmt::format("camera {}: its clock is {:.1f} s {} the day's (within {:.1f} s, by {} that {} heard "
                        "as well; confidence "
                        "{:.2f}{})",
                        camera, std::abs(offset.offset_s), offset.offset_s < 0 ? "ahead of" : "behind",
                        std::max(offset.error_s, 0.1),
                        offset.rallies == 1 ? "1 rally" : fmt::format("{} rallies", offset.rallies),
                        offset.against, offset.confidence, drift_of(offset)));
        // A job that is to be made gets it anyway.
        if (job.cameras.contains(camera))
            lines.back() +=
                fmt::format("; cameras.{}.clock_offset_s: {:.2f} holds it fast", camera, offset.offset_s);
    }
    for (const auto& [camera, settings] : job.cameras)
        if (settings.clock_offset_s && !clock.cameras.contains(camera))
            lines.push_back(fmt::format(
                "cameras.{}.clock_offset_s is not used: no clip of that camera tells its time", camera));
    return lines;
}

} // namespace downball::pipeline
