// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "shotlog/fast_cameras.h"

#include "downball/time/slow_motion.h"

#include <cmath>
#include <fmt/format.h>
#include <optional>
#include <set>
#include <tuple>

namespace downball::shotlog {
namespace {

constexpr double same_rate = 0.002; // 120 on the menu of a camera of 120000/1001
constexpr double faster = 1.05;     // rates may be a little off what they are called

struct Taken {
    Rate capture;
    bool lifelike; // the log tells a rate, and it is not above the file's
};

std::optional<Taken> taken(const Take& take, const MediaInfo& media) {
    const double container_fps = media.rate ? media.rate->per_second() : media.average_fps;
    if (container_fps <= 0) return std::nullopt;
    const Rate container = media.rate ? *media.rate : snap_rate(container_fps);
    if (!take.capture_fps) return Taken{container, false};
    if (std::abs(*take.capture_fps / container_fps - 1) <= same_rate) return Taken{container, true};
    if (*take.capture_fps < container_fps) return Taken{container, true};
    return Taken{snap_rate(*take.capture_fps), false};
}

// "1/240 s"; of rates that are no whole number, to the next whole one.
std::string shutter(Rate capture) {
    return fmt::format("1/{:.0f} s", 1 / shutter_s(capture).to_double());
}

std::string rounded(Rate rate) {
    const double fps = rate.per_second();
    return fmt::format("{:.{}f}", fps, std::abs(fps - std::round(fps)) < 0.005 ? 0 : 2);
}

std::string sentence(const Taken& of, Rate list) {
    std::string text = fmt::format("at {} fps each picture shown once runs {:.4g} times slower than life at "
                                   "{} fps; a 180-degree shutter is {}",
                                   rounded(of.capture), stretch_of_each_once(of.capture, list).to_double(),
                                   rounded(list), shutter(of.capture));
    if (!drops_evenly(of.capture, list)) text += "; at the speed of life pictures drop unevenly";
    if (of.lifelike)
        text +=
            "; its capture_fps is not above the rate of the files, so the files play at the speed of life";
    return text;
}

} // namespace

std::vector<std::string> fast_camera_notes(const ShotLog& log, Rate list) {
    std::vector<std::string> notes;
    std::set<std::tuple<std::string, Rate, bool>> told;
    for (const Take& take : log.takes) {
        if (take.use == Use::never || take.kind == Kind::sound) continue;
        const auto of = taken(take, log.media[take.media]);
        if (!of || of->capture.per_second() <= faster * list.per_second()) continue;
        if (!told.emplace(take.camera, of->capture, of->lifelike).second) continue;
        notes.push_back(fmt::format("{}: {}",
                                    take.camera.empty() ? "no camera named" : "camera " + take.camera,
                                    sentence(*of, list)));
    }
    return notes;
}

} // namespace downball::shotlog
