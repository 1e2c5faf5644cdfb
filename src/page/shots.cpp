// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "page/shots.h"

#include "downball/base/text.h"
#include "downball/write/sync.h"

#include <algorithm>

namespace downball::page {

namespace {

using Parts = std::vector<VideoEvent>;

std::vector<Hit> hits_of(const PageInput& input, const PlannedShot& plan, const Parts& parts,
                         const Take& take) {
    std::vector<Frame> frames;
    for (const VideoEvent& part : parts)
        for (const Marker& contact : part.contacts)
            frames.push_back(contact.at);
    std::ranges::sort(frames);
    auto anchors = plan.anchors;
    std::ranges::sort(anchors, {},
                      [&](const Anchor& anchor) { return take.impacts[anchor.impact].picture_s; });
    std::vector<Hit> hits;
    for (std::size_t n = 0; n < anchors.size() && n < frames.size(); ++n) {
        const Impact& impact = take.impacts[anchors[n].impact];
        const Beat& beat = input.beats.beats[anchors[n].beat];
        const auto found = write::delivered(input.timeline, parts, impact, beat);
        hits.push_back({frames[n], &impact, beat.position, found.error_s, found.error_frames});
    }
    return hits;
}

std::string names_of(const PageInput& input, const Take& take) {
    std::vector<std::string> names;
    for (const std::string& id : take.players)
        names.push_back(name_of(input, id));
    return join(names, ", ");
}

// What is done in the shot, as far as anybody said: the skills of its hits, or those of the take.
std::string what_of(const Take& take, const std::vector<Hit>& hits) {
    if (take.kind != Kind::action) return std::string(to_string(take.kind));
    std::vector<std::string> skills;
    for (const Hit& hit : hits)
        if (hit.impact->skill) skills.emplace_back(to_string(*hit.impact->skill));
    if (skills.empty())
        for (const Skill skill : take.skills)
            skills.emplace_back(to_string(skill));
    skills.erase(std::unique(skills.begin(), skills.end()), skills.end());
    return skills.empty() ? std::string(to_string(take.kind)) : join(skills, ", ");
}

} // namespace

std::string name_of(const PageInput& input, const std::string& player) {
    const auto name = input.names.find(player);
    return name == input.names.end() || name->second.empty() ? player : name->second;
}

std::vector<Shown> shots_of(const PageInput& input) {
    const auto parts = parts_of_shots(input.timeline);
    std::vector<Shown> shots;
    for (std::size_t i = 0; i < input.plan.shots.size() && i < parts.size(); ++i) {
        const PlannedShot& plan = input.plan.shots[i];
        const Take& take = input.log.takes[plan.take];
        const auto slower = [](const VideoEvent& a, const VideoEvent& b) { return a.speed < b.speed; };
        const auto [slowest, fastest] = std::ranges::minmax_element(parts[i], slower);
        const auto media = parts[i].front().media;
        Shown shot;
        shot.number = static_cast<int>(i) + 1;
        shot.plan = &plan;
        shot.take = &take;
        shot.media = media ? &input.timeline.media[*media] : nullptr;
        shot.record = {parts[i].front().record.in, parts[i].back().record.out};
        shot.slowest = slowest->speed;
        shot.fastest = fastest->speed;
        shot.hits = hits_of(input, plan, parts[i], take);
        shot.players = names_of(input, take);
        shot.title = what_of(take, shot.hits);
        if (!shot.players.empty()) shot.title += ", " + shot.players;
        shots.push_back(std::move(shot));
    }
    return shots;
}

std::vector<Frame> stills_wanted(const Timeline& timeline) {
    std::vector<Frame> wanted;
    for (const VideoEvent& event : timeline.video) {
        if (event.part == 0) wanted.push_back(event.record.in);
        for (const Marker& contact : event.contacts)
            wanted.push_back(contact.at);
    }
    std::ranges::sort(wanted);
    wanted.erase(std::unique(wanted.begin(), wanted.end()), wanted.end());
    return wanted;
}

} // namespace downball::page
