// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/take_back.h"

#include "pipeline/edited_list.h"

#include "downball/pipeline/files.h"
#include "downball/pipeline/read_list.h"
#include "downball/timeline/build.h"

#include <algorithm>
#include <filesystem>
#include <fmt/format.h>

namespace downball::pipeline {
namespace {

// As the lists call it; the file itself may not be made yet.
MediaInfo listed_song(const Material& material, const SongToCutTo& song) {
    if (!song.cut) return material.song;
    MediaInfo file;
    file.path = song_file_path(material.job);
    file.name = std::filesystem::path(file.path).filename().string();
    return file;
}

void lock_and_ban(const EditedList& edited, Material& material) {
    auto& locks = material.job.limits.locks;
    for (const Lock& lock : edited.locks) {
        const auto own = std::ranges::find(locks, lock.shot, &Lock::shot);
        if (own == locks.end())
            locks.push_back(lock);
        else if (!own->record_in && !own->source_in)
            *own = lock;
    }
    const auto locked = [&](const std::string& name) {
        return std::ranges::any_of(
            locks, [&](const Lock& lock) { return lock.shot == name || lock.shot.starts_with(name + "@"); });
    };
    for (Take& take : material.log.takes) {
        if (take.kind != Kind::action && edited.removed.contains(take.id) && !locked(take.id))
            take.use = Use::never;
        for (const Impact& impact : take.impacts)
            if (edited.removed.contains(impact.id) && !locked(impact.id))
                material.job.limits.bans.insert(impact.id);
    }
}

} // namespace

Result<TakenBack> take_back(const Material& material, const SongToCutTo& song, const std::string& path,
                            const std::optional<LastRun>& last) {
    const auto list = read_list(path, material.job.limits.delivery.rate);
    if (!list) return list.error();
    const auto hash = file_hash(path);
    if (!hash) return hash.error();
    const solve::Problem problem{song.beats, material.log, material.job.limits, song.start_s};
    const MediaInfo sound = listed_song(material, song);
    const auto reels = timeline::reels_of(material.log, sound, material.job.lists.reels_from_card);
    Returned returned{*list, problem, reels, sound};
    if (last) returned.last = &last->cut;
    if (last && last->from) {
        returned.removed_before.insert(last->from->removed.begin(), last->from->removed.end());
        returned.as_before = last->from->hash == *hash;
    }
    auto edited = understand(returned);
    if (!edited) return Error{edited.error().fault, edited.error().what, path};
    TakenBack back{material,
                   std::move(edited->cut),
                   {path, *hash, {edited->removed.begin(), edited->removed.end()}, std::move(edited->told)}};
    lock_and_ban(*edited, back.material);
    back.from.told.front() = path + ": " + back.from.told.front();
    return back;
}

void tell_places_together(Conflict& conflict, const std::string& path) {
    const auto together = [](std::vector<std::string>& lines, std::string_view of, const auto& words) {
        const auto is = [&](const std::string& line) { return line.starts_with(of); };
        const auto count = std::ranges::count_if(lines, is);
        if (count <= 3) return;
        std::erase_if(lines, is);
        lines.push_back(words(count));
    };
    together(conflict.limits, "lock on shot ",
             [&](auto count) { return fmt::format("the places of {} shots as {} has them", count, path); });
    together(conflict.remedies, "take the lock on ", [&](auto count) {
        return fmt::format("take one of these {} shots out of the list, or move it", count);
    });
}

} // namespace downball::pipeline
