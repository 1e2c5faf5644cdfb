// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/take_back.h"

#include "pipeline/edited_list.h"

#include "downball/base/text.h"
#include "downball/files/files.h"
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

// "sunday PART 1 OF 3", as split EDLs are called.
bool is_part(const std::string& title) {
    const auto at = title.rfind(" PART ");
    if (at == std::string::npos) return false;
    const auto numbers = words(title.substr(at + 6));
    return numbers.size() == 3 && numbers[1] == "OF" && parse_integer(numbers[0]) &&
           parse_integer(numbers[2]);
}

void lock_all(const std::vector<Lock>& of_list, std::vector<Lock>& locks) {
    for (const Lock& lock : of_list) {
        const auto own = std::ranges::find(locks, lock.shot, &Lock::shot);
        if (own == locks.end())
            locks.push_back(lock);
        else if (!own->record_in && !own->source_in)
            *own = lock;
    }
}

// What the job locks and what the log says must be there may come back all the same, and that is told.
void keep_out(const std::set<std::string>& removed, Material& material, std::vector<std::string>& told) {
    const auto locked = [&](const std::string& name) {
        return std::ranges::any_of(material.job.limits.locks, [&](const Lock& lock) {
            return lock.shot == name || lock.shot.starts_with(name + "@");
        });
    };
    const auto stays_out = [&](const std::string& name, const Take& take) {
        if (!removed.contains(name) || locked(name)) return false;
        if (take.use != Use::must) return true;
        told.push_back(
            fmt::format("  {}: taken out, but the log says that {} must be in the cut", name, take.id));
        return false;
    };
    for (Take& take : material.log.takes) {
        if (take.kind != Kind::action && stays_out(take.id, take)) take.use = Use::never;
        for (const Impact& impact : take.impacts)
            if (stays_out(impact.id, take)) material.job.limits.bans.insert(impact.id);
    }
}

} // namespace

Result<TakenBack> take_back(const Material& material, const SongToCutTo& song, const std::string& path,
                            const std::optional<LastRun>& last) {
    const auto list = read_list(path, material.job.limits.delivery.rate);
    if (!list) return list.error();
    if (is_part(list->name))
        return Error{Fault::bad_input,
                     "this is one part of a split EDL, so that all other shots would count as taken out; "
                     "give the OTIO",
                     path};
    const auto hash = files::file_hash(path);
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
    lock_all(edited->locks, back.material.job.limits.locks);
    keep_out(edited->removed, back.material, back.from.told);
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
