// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/clocks/day_clock.h"

#include "clocks/pair_offset.h"

#include <algorithm>
#include <cmath>

namespace downball::clocks {
namespace {

// What somebody wrote into a job is right to half a second, until what was heard tells more.
constexpr double given_error_s = 0.5;

using Cameras = std::map<std::string, std::vector<const Recording*>>;

Cameras with_clocks(std::span<const Recording> recordings) {
    Cameras cameras;
    for (const Recording& one : recordings)
        if (one.began && !one.camera.empty()) cameras[one.camera].push_back(&one);
    return cameras;
}

// The second camera's clock is `known` to the day's; the first's to the second's.
Offset through(const Offset& known, Offset found) {
    const double to_middle_s = found.middle_s - known.middle_s;
    found.against = known.camera;
    found.offset_s += known.offset_s + known.drift_ppm * 1e-6 * to_middle_s;
    found.middle_s += known.offset_s;
    found.drift_ppm += known.drift_ppm;
    found.drifts = found.drifts || known.drifts;
    found.error_s = std::hypot(found.error_s, known.error_s);
    found.confidence *= known.confidence;
    return found;
}

// The second's clock to the first's.
Offset turned(Offset offset) {
    offset.middle_s -= offset.offset_s;
    offset.offset_s = -offset.offset_s;
    offset.drift_ppm = -offset.drift_ppm;
    return offset;
}

using Apart = std::map<std::pair<std::string, std::string>, Offset>; // of the first against the second

// Given offsets stay, but what was heard tells how they drift and how far off they may be.
void refine_given(DayClock& day, const Apart& apart) {
    constexpr double sure = 0.8, most_off_s = 2;
    if (day.cameras.empty()) return;
    const Offset first = day.cameras.begin()->second;
    for (auto& [camera, given] : day.cameras) {
        const auto found = apart.find({camera, first.camera});
        if (found == apart.end() || found->second.confidence < sure) continue;
        const Offset heard = through(first, found->second);
        const double off_s = std::abs(heard.offset_s - given.offset_s);
        if (off_s > most_off_s) continue; // what is given counts
        given.drift_ppm = heard.drift_ppm;
        given.middle_s = heard.middle_s;
        given.error_s = off_s + found->second.error_s;
    }
}

} // namespace

DayClock set_day_clock(std::span<const Recording> recordings, const std::map<std::string, double>& given,
                       const LongWork& work) {
    const Cameras cameras = with_clocks(recordings);
    DayClock day;
    for (const auto& [camera, offset_s] : given) {
        if (!cameras.contains(camera)) continue;
        Offset& known = day.cameras[camera];
        known.camera = camera;
        known.offset_s = offset_s;
        known.error_s = given_error_s;
    }
    if (day.cameras.empty() && !cameras.empty()) {
        const auto most = std::max_element(cameras.begin(), cameras.end(), [](const auto& a, const auto& b) {
            return a.second.size() < b.second.size();
        });
        day.cameras[most->first].camera = most->first;
    }
    // Every two cameras once; then the surest way from a known clock to each other one (Prim's spanning tree).
    Apart apart;
    const std::size_t pairs = cameras.size() * (cameras.size() - 1) / 2;
    std::size_t done = 0;
    for (auto one = cameras.begin(); one != cameras.end(); ++one)
        for (auto other = std::next(one); other != cameras.end(); ++other) {
            if (work.stop_asked()) return {};
            if (const auto found = pair_offset(one->second, other->second, work)) {
                apart[{one->first, other->first}] = *found;
                apart[{other->first, one->first}] = turned(*found);
            }
            work.report(static_cast<double>(++done) / static_cast<double>(pairs));
        }
    refine_given(day, apart);
    while (true) {
        std::optional<Offset> next;
        for (const auto& [names, found] : apart) {
            const auto known = day.cameras.find(names.second);
            if (known == day.cameras.end() || day.cameras.contains(names.first)) continue;
            Offset offset = through(known->second, found);
            offset.camera = names.first;
            if (!next || offset.confidence > next->confidence) next = std::move(offset);
        }
        if (!next) return day;
        day.cameras.emplace(next->camera, *next);
    }
}

std::optional<double> day_seconds(const DayClock& clock, const Recording& recording) {
    const auto known = clock.cameras.find(recording.camera);
    if (known == clock.cameras.end() || !recording.began) return std::nullopt;
    const Offset& offset = known->second;
    const double about_s = recording.began->at_s + offset.offset_s;
    return about_s + offset.drift_ppm * 1e-6 * (about_s - offset.middle_s);
}

} // namespace downball::clocks
