// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/sheet.h"

#include <fmt/format.h>

namespace downball::pipeline {

namespace {

Frame shown_of(const PlannedShot& shot, const Timeline& timeline) {
    for (const VideoEvent& event : timeline.video)
        if (shot.record.contains(event.record) && !event.contacts.empty() &&
            shot.record.contains(event.contacts.front().at))
            return event.contacts.front().at;
    return shot.record.in + Frame{shot.record.length().n / 2};
}

std::string_view what_of(const PlannedShot& shot, const Take& take) {
    if (!shot.anchors.empty())
        if (const auto skill = take.impacts[shot.anchors.front().impact].skill) return to_string(*skill);
    return to_string(take.kind);
}

std::string length_of(const Timeline& timeline) {
    const double length_s = to_seconds(timeline.length, timeline.rate);
    if (length_s < 60) return fmt::format("{:.1f} s", length_s);
    const auto whole_s = static_cast<long>(length_s + 0.5);
    return fmt::format("{}:{:02} min", whole_s / 60, whole_s % 60);
}

} // namespace

preview::SheetTexts sheet_texts(const Material& material, const CutPlan& plan, const Timeline& timeline) {
    preview::SheetTexts texts{timeline.name,
                              fmt::format("{} \u00b7 {} {}", length_of(timeline), plan.shots.size(),
                                          plan.shots.size() == 1 ? "shot" : "shots"),
                              {}};
    const auto& roster = material.job.players;
    for (const PlannedShot& shot : plan.shots) {
        const Take& take = material.log.takes[shot.take];
        preview::SheetTile tile{shown_of(shot, timeline),
                                std::to_string(texts.tiles.size() + 1),
                                record_label(timeline, shot.record.in),
                                std::string(what_of(shot, take)),
                                {}};
        for (const auto& id : take.players) {
            const auto player = roster.find(id);
            tile.players.push_back(
                player == roster.end() || player->second.name.empty() ? id : player->second.name);
        }
        texts.tiles.push_back(std::move(tile));
    }
    return texts;
}

} // namespace downball::pipeline
