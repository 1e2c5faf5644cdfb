// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "shotlog/impacts.h"

#include "shotlog/in_order.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <set>

namespace downball::shotlog {
namespace {

constexpr double mark_reach_s = 0.060; // real contacts are further apart, but for a block at the net

std::string fresh_id(const std::string& take, double seconds, std::set<std::string>& taken) {
    for (long long ms = std::llround(seconds * 1000);; ++ms) {
        std::string id = fmt::format("{}#{}", take, ms);
        if (taken.insert(id).second) return id;
    }
}

} // namespace

double speed_of_sound(double air_temperature_c) {
    return 343.2 * std::sqrt((air_temperature_c + 273.15) / 293.15);
}

SoundPath sound_path(const Row& row, const MediaInfo& media, const CameraSettings& camera,
                     double air_temperature_c) {
    SoundPath path;
    const auto capture_fps = row.tags.capture_fps ? row.tags.capture_fps : camera.capture_fps;
    path.slowed = times_slower(media, capture_fps);
    const double distance_m = row.distance_m.value_or(camera.distance_m.value_or(0));
    path.distance_known = row.distance_m || camera.distance_m;
    path.later_by_s = camera.sound_offset_s + distance_m / speed_of_sound(air_temperature_c) * path.slowed;
    return path;
}

std::vector<Impact> make_impacts(const std::string& take, std::span<const SoundContact> contacts,
                                 std::span<const double> marks_s, const SoundPath& path) {
    std::vector<Impact> impacts;
    std::set<std::string> ids;
    for (const SoundContact& contact : contacts)
        impacts.push_back({fresh_id(take, contact.sound_s, ids), contact.sound_s,
                           contact.sound_s - path.later_by_s, contact.confidence, contact.strength,
                           contact.source, std::nullopt, false, false, contact.hard});

    std::vector<double> marks(marks_s.begin(), marks_s.end());
    std::sort(marks.begin(), marks.end());
    marks.erase(std::unique(marks.begin(), marks.end()), marks.end());
    const double reach_s = mark_reach_s * path.slowed + 1e-9;
    std::vector<bool> used(marks.size());
    const auto nearness = [&](std::size_t mark, std::size_t contact) -> std::optional<double> {
        const double apart_s = std::abs(impacts[contact].picture_s - marks[mark]);
        return apart_s <= reach_s ? std::optional(-apart_s) : std::nullopt;
    };
    for (const auto& [mark, contact] : pair_in_order(marks.size(), impacts.size(), nearness)) {
        used[mark] = true;
        impacts[contact].picture_s = marks[mark];
        impacts[contact].confidence = 1;
        impacts[contact].source = ContactSource::mark;
    }
    for (std::size_t i = 0; i < marks.size(); ++i) {
        if (used[i]) continue;
        // Nothing was heard, so nothing is known of how hard it was: the middle.
        impacts.push_back({fresh_id(take, marks[i], ids), marks[i] + path.later_by_s, marks[i], 1, 0.5,
                           ContactSource::mark, std::nullopt, false});
    }
    std::stable_sort(impacts.begin(), impacts.end(),
                     [](const Impact& a, const Impact& b) { return a.picture_s < b.picture_s; });
    return impacts;
}

void give_skills(std::span<const Skill> skills, std::vector<Impact>& impacts, double slowed,
                 double confidence_floor, RallyReader& reader) {
    std::vector<std::size_t> usable;
    std::vector<RallyContact> contacts;
    for (std::size_t i = 0; i < impacts.size(); ++i) {
        if (impacts[i].confidence < confidence_floor) continue;
        usable.push_back(i);
        contacts.push_back(
            {impacts[i].picture_s / slowed, impacts[i].confidence, impacts[i].strength, impacts[i].hard});
    }
    if (skills.size() == usable.size() && in_time(skills, contacts)) {
        for (std::size_t i = 0; i < usable.size(); ++i) {
            impacts[usable[i]].skill = skills[i];
            impacts[usable[i]].skill_sure = true;
        }
        return;
    }
    const auto found = reader.read(skills, contacts);
    for (std::size_t i = 0; i < usable.size(); ++i) {
        if (!found[i]) continue;
        Impact& impact = impacts[usable[i]];
        impact.skill = skills[*found[i]];
        // Hands meet an attack within 80 ms, nearer than two contacts are told apart (facts of the trade).
        const std::size_t next = *found[i] + 1;
        impact.with_block = impact.skill == Skill::attack && next < skills.size() &&
                            skills[next] == Skill::block && (i + 1 == usable.size() || found[i + 1] != next);
    }
}

} // namespace downball::shotlog
