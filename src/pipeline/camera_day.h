// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/clocks/day_clock.h"
#include "downball/job/job.h"
#include "downball/model/media_info.h"

#include <map>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace downball::pipeline {

// A file with what placing it in the day needs.
struct DayClip {
    std::string camera;
    const MediaInfo* media = nullptr;
    std::optional<double> capture_fps;
    std::vector<clocks::Contact> heard; // in media seconds
};

// Each clip, a file each, as a recording, by the clock of its camera; contacts in real seconds after its first picture. A
// camera's files are taken to be made in the order of their creation times, or of their names. Clocks that tell no
// date are taken for those of the first day that others tell.
std::vector<clocks::Recording> recordings_of(std::span<const DayClip> clips);

// The offsets that the job gives.
std::map<std::string, double> given_offsets(const job::Job& job);

// "2026-07-18 15:22:10" for seconds since 1970; the time alone where no date is known; nothing for times
// before 1970 or far from now.
std::string date_and_time(double seconds);

// What is known of the cameras' clocks, a line each, with the offset a job may take over where it is not in it.
std::vector<std::string> tell_clocks(const clocks::DayClock& clock, const job::Job& job);

} // namespace downball::pipeline
