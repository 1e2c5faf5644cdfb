// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/clocks/camera_time.h"

#include "downball/base/text.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>

namespace downball::clocks {
namespace {

constexpr double day_s = 86400;

std::optional<double> label_seconds(const MediaInfo& file) {
    if (file.start) return static_cast<double>(file.start->at.n) / file.start->rate.per_second();
    return file.time_of_day_s;
}

// The value nearest to `near_s` that is `at_s` on some day.
double on_the_day_near(double at_s, double near_s) {
    return at_s + day_s * std::round((near_s - at_s) / day_s);
}

struct Camera {
    std::span<const MediaInfo* const> files;
    std::span<const double> real_s;
    std::vector<std::optional<double>> created_s, label_s;
};

double label_step_s(const Camera& camera) {
    double step_s = 0;
    for (const MediaInfo* file : camera.files)
        if (file->start) step_s = std::max(step_s, 1 / file->start->rate.per_second());
    return step_s > 0 ? step_s : 0.001; // recorders count samples
}

// Containers keep whole seconds as a rule.
double created_step_s(const Camera& camera) {
    const bool whole = std::all_of(camera.created_s.begin(), camera.created_s.end(),
                                   [](const auto& at) { return !at || *at == std::floor(*at); });
    return whole ? 1 : 0.001;
}

// Calls `see` with each two files in a row that both tell.
template <class See>
void neighbours(const std::vector<std::optional<double>>& told, See see) {
    std::optional<std::size_t> before;
    for (std::size_t i = 0; i < told.size(); ++i) {
        if (!told[i]) continue;
        if (before) see(*before, i);
        before = i;
    }
}

// Record-run timecode stands still between recordings, and some recorders begin each file at one label. Nobody
// stops and starts within half a second.
bool stands_still(const Camera& camera) {
    constexpr double at_once_s = 0.5;
    std::size_t still = 0, pairs = 0;
    neighbours(camera.label_s, [&](std::size_t a, std::size_t b) {
        // Labels count the pictures of the file, however slowly it plays.
        const double end_s = *camera.label_s[a] + camera.files[a]->duration_s;
        ++pairs;
        if (*camera.label_s[b] >= *camera.label_s[a] && *camera.label_s[b] < end_s + at_once_s) ++still;
    });
    return pairs > 0 && 2 * still > pairs;
}

// Do labels and creation times tell different times of day, taken for begins and taken for ends?
bool out_of_step(const Camera& camera) {
    constexpr double most_s = 5;
    const auto spread_s = [&](double back) {
        std::optional<double> first_s;
        double least_s = 0, largest_s = 0;
        for (std::size_t i = 0; i < camera.files.size(); ++i) {
            if (!camera.label_s[i] || !camera.created_s[i]) continue;
            const double apart_s = *camera.created_s[i] - back * camera.real_s[i] - *camera.label_s[i];
            if (!first_s) first_s = least_s = largest_s = apart_s;
            const double near_s = on_the_day_near(apart_s, *first_s);
            least_s = std::min(least_s, near_s);
            largest_s = std::max(largest_s, near_s);
        }
        return largest_s - least_s;
    };
    return std::min(spread_s(0), spread_s(1)) > most_s;
}

// How many recordings would begin before the one before them was over, were they to begin `back` of their
// lengths before their creation times.
std::size_t overlaps(const Camera& camera, double back) {
    constexpr double slack_s = 1.5; // of two clocks read to a second
    std::size_t count = 0;
    neighbours(camera.created_s, [&](std::size_t a, std::size_t b) {
        const double end_s = *camera.created_s[a] + (1 - back) * camera.real_s[a];
        const double begin_s = *camera.created_s[b] - back * camera.real_s[b];
        // Another take's length earlier is no overlap but another order.
        if (begin_s < end_s - slack_s && begin_s > end_s - slack_s - 2 * camera.real_s[a]) ++count;
    });
    return count;
}

std::vector<std::optional<Began>> by_labels(const Camera& camera) {
    std::vector<std::optional<Began>> began(camera.files.size());
    const double step_s = label_step_s(camera);
    std::optional<double> before_s;
    std::optional<double> ahead_s; // creation times before labels, days apart
    for (std::size_t i = 0; i < camera.files.size() && !ahead_s; ++i)
        if (camera.label_s[i] && camera.created_s[i])
            ahead_s = std::remainder(*camera.created_s[i] - *camera.label_s[i], day_s);
    for (std::size_t i = 0; i < camera.files.size(); ++i) {
        if (!camera.label_s[i]) {
            if (camera.created_s[i] && ahead_s) began[i] = Began{*camera.created_s[i] - *ahead_s + 0.5, 1};
            continue;
        }
        double at_s = *camera.label_s[i];
        if (camera.created_s[i]) {
            at_s = on_the_day_near(at_s, *camera.created_s[i] - *ahead_s);
        } else if (before_s && at_s < std::fmod(*before_s, day_s) - day_s / 2) {
            at_s = on_the_day_near(at_s, *before_s + day_s / 2); // past midnight
        } else if (before_s) {
            at_s = on_the_day_near(at_s, *before_s);
        }
        before_s = at_s;
        began[i] = Began{at_s, step_s}; // timecode is that of the instant when its frame begins
    }
    return began;
}

// Nothing if most recordings would overlap whichever way they are read: then somebody wrote one time into all.
std::vector<std::optional<Began>> by_creation(const Camera& camera) {
    std::vector<std::optional<Began>> began(camera.files.size());
    const double step_s = created_step_s(camera);
    const std::size_t as_begins = overlaps(camera, 0), as_ends = overlaps(camera, 1);
    std::size_t pairs = 0;
    neighbours(camera.created_s, [&](std::size_t, std::size_t) { ++pairs; });
    if (2 * std::min(as_begins, as_ends) > pairs) return began;
    const double back = as_ends < as_begins ? 1 : 0;
    for (std::size_t i = 0; i < camera.files.size(); ++i)
        if (camera.created_s[i])
            began[i] = Began{*camera.created_s[i] + step_s / 2 - back * camera.real_s[i], step_s};
    return began;
}

} // namespace

std::optional<double> seconds_since_1970(const std::string& iso) {
    int year = 0, month = 0, day = 0, hour = 0, minute = 0, read = 0;
    double second = 0;
    if (std::sscanf(iso.c_str(), "%4d-%2d-%2d%*1[T ]%2d:%2d:%lf%n", &year, &month, &day, &hour, &minute,
                    &second, &read) != 6 ||
        read == 0)
        return std::nullopt;
    const std::chrono::year_month_day date{std::chrono::year(year),
                                           std::chrono::month(static_cast<unsigned>(month)),
                                           std::chrono::day(static_cast<unsigned>(day))};
    // A clock that was never set tells 1904 or 1970, the zero of its container.
    if (!date.ok() || year <= 1970 || hour < 0 || hour > 23 || minute < 0 || minute > 59 ||
        !(second >= 0 && second < 61))
        return std::nullopt;
    const std::string_view zone = trim(std::string_view(iso).substr(static_cast<std::size_t>(read)));
    double zone_s = 0;
    if (!zone.empty() && zone != "Z") {
        int hours = 0, minutes = 0;
        const std::string written(zone);
        if (std::sscanf(written.c_str(), "%3d:%2d", &hours, &minutes) != 2 &&
            std::sscanf(written.c_str(), "%3d%2d", &hours, &minutes) < 1)
            return std::nullopt;
        zone_s = 3600.0 * hours + (zone.front() == '-' ? -60.0 : 60.0) * minutes;
    }
    const auto days = std::chrono::sys_days(date).time_since_epoch().count();
    return static_cast<double>(days) * day_s + hour * 3600.0 + minute * 60.0 + second - zone_s;
}

std::vector<std::optional<Began>> read_camera_clock(std::span<const MediaInfo* const> files,
                                                    std::span<const double> real_s) {
    Camera camera{files, real_s, {}, {}};
    std::size_t labels = 0, both = 0;
    bool recorder = false; // counts samples since midnight
    for (const MediaInfo* file : files) {
        camera.created_s.push_back(file->created ? seconds_since_1970(*file->created) : std::nullopt);
        camera.label_s.push_back(label_seconds(*file));
        recorder = recorder || (!file->start && file->time_of_day_s);
        labels += camera.label_s.back() ? 1 : 0;
        both += camera.label_s.back() && camera.created_s.back() ? 1 : 0;
    }
    // A lone label may be anything; a creation time is a time. Labels that go along with creation times are a clock even
    // if they run on, as those of a recording do that the camera split.
    const bool in_step = both > 1 && !out_of_step(camera);
    const bool alone = both == 0 && labels == files.size() && !stands_still(camera);
    return recorder || in_step || alone ? by_labels(camera) : by_creation(camera);
}

} // namespace downball::clocks
