// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/clip_day.h"

#include "pipeline/camera_day.h"
#include "pipeline/places.h"
#include "pipeline/split_recordings.h"

#include "downball/base/long_work.h"
#include "downball/base/text.h"
#include "downball/timeline/reels.h"

#include <algorithm>
#include <filesystem>
#include <fmt/format.h>
#include <limits>
#include <set>

namespace downball::pipeline {
namespace {

using shotlog::FoundClip;

// A clip with what the log says of it, if it has it.
struct Known {
    FoundClip* clip = nullptr;
    const shotlog::LoggedFile* logged = nullptr;
    DayClip day;
};

bool is_new(const Known& one) {
    return !one.logged;
}

// What a camera calls itself as an id: no blanks, and nothing that a spreadsheet would run.
std::string device_id(const std::string& device) {
    const std::string id = join(words(device), "_");
    const bool plain =
        valid_utf8(id) && std::ranges::none_of(id, [](unsigned char c) { return c < 0x20 || c == 0x7f; });
    return plain && !like_a_formula(id) ? id : std::string();
}

// A folder is a camera, as long as all clips in it are of one device; else each device is.
void name_cameras(std::vector<Known>& all) {
    std::map<std::string, std::set<std::string>> devices;
    std::map<std::pair<std::string, std::string>, std::string> logged;
    for (const Known& one : all) {
        const std::string folder = shotlog::camera_of(one.clip->file),
                          device = device_id(one.clip->media.device);
        devices[folder].insert(device);
        if (one.logged && !one.logged->camera.empty())
            logged.try_emplace({folder, device}, one.logged->camera);
    }
    for (Known& one : all) {
        const std::string folder = shotlog::camera_of(one.clip->file),
                          device = device_id(one.clip->media.device);
        const auto same = logged.find({folder, device});
        std::string& camera = one.clip->camera;
        if (one.logged && !one.logged->camera.empty())
            camera = one.logged->camera;
        else if (same != logged.end())
            camera = same->second;
        else
            camera = !device.empty() && (folder.empty() || devices[folder].size() > 1) ? device : folder;
    }
}

DayClip day_clip(const Known& one, const job::Job& job) {
    DayClip day{one.clip->camera, &one.clip->media, {}, {}};
    if (one.logged) day.capture_fps = one.logged->capture_fps;
    if (const auto camera = job.cameras.find(day.camera); !day.capture_fps && camera != job.cameras.end())
        day.capture_fps = camera->second.capture_fps;
    if (one.logged && one.logged->contacts) {
        for (const auto& contact : *one.logged->contacts)
            day.heard.push_back({contact.seconds, contact.confidence});
    } else if (one.clip->hearing) {
        for (const Heard& contact : one.clip->hearing->contacts)
            day.heard.push_back({contact.sound_s, contact.confidence});
    }
    return day;
}

// When a clip began, for putting clips in order: by the day's clock if that is known, else by its own.
double order_s(const clocks::DayClock& clock, const clocks::Recording& recording) {
    if (const auto at_s = clocks::day_seconds(clock, recording)) return *at_s;
    return recording.began ? recording.began->at_s : std::numeric_limits<double>::infinity();
}

// "R001" and on, behind all that the log has, its files found or not.
class MomentNames {
  public:
    explicit MomentNames(const text::CsvTable& log) {
        const int column = log.column("moment");
        for (const auto& row : log.rows) {
            const std::string_view name = column < 0 ? "" : trim(row[static_cast<std::size_t>(column)]);
            if (name.size() < 2 || name.front() != 'R') continue;
            if (const auto number = parse_integer(name.substr(1)); number && *number < 1'000'000)
                last_ = std::max(last_, *number);
        }
    }
    std::string next() { return fmt::format("R{:03}", ++last_); }

  private:
    long long last_ = 0;
};

void name_moments(std::vector<Known>& all, const std::vector<int>& moments,
                  const std::vector<std::size_t>& order, MomentNames names) {
    std::map<int, std::vector<std::size_t>> groups;
    for (const std::size_t i : order)
        if (moments[i] >= 0) groups[moments[i]].push_back(i);
    for (auto& [moment, members] : groups) {
        // What was grouped when no clip was new is the user's by now.
        if (std::ranges::none_of(members, [&](std::size_t i) { return is_new(all[i]); })) continue;
        std::string name;
        for (const std::size_t i : members)
            if (name.empty() && all[i].logged) name = all[i].logged->moment;
        if (name.empty()) name = names.next();
        for (const std::size_t i : members)
            if (is_new(all[i]) || (all[i].logged->rows == 1 && all[i].logged->moment.empty()))
                all[i].clip->moment = name;
    }
}

// Does the clip hold the instant of a contact that others of its moment heard?
bool holds_a_contact(std::size_t clip, const std::vector<int>& moments,
                     std::span<const clocks::Recording> recordings, const clocks::DayClock& clock) {
    const double begin_s = *clocks::day_seconds(clock, recordings[clip]);
    for (std::size_t i = 0; i < recordings.size(); ++i) {
        if (i == clip || moments[i] != moments[clip]) continue;
        const double its_s = *clocks::day_seconds(clock, recordings[i]);
        for (const clocks::Contact& contact : recordings[i].contacts)
            if (its_s + contact.at_s >= begin_s && its_s + contact.at_s < begin_s + recordings[clip].real_s)
                return true;
    }
    return false;
}

// Contacts make an action. A clip without: a crowd that rejoices, or a rally that has just ended, make a reaction;
// one without sound, filmed while others heard a rally, an action.
Kind guess(const Known& one, std::size_t at, const std::vector<int>& moments,
           std::span<const clocks::Recording> recordings, const clocks::DayClock& clock) {
    constexpr double mostly_crowd = 0.5;
    const Kind kind = shotlog::guessed_kind(*one.clip);
    if (kind != Kind::cutaway) return kind;
    if (moments[at] >= 0) {
        const bool during = holds_a_contact(at, moments, recordings, clock);
        if (during && !one.clip->media.audio) return Kind::action;
        if (!during) return Kind::reaction;
    }
    return one.clip->hearing && one.clip->hearing->crowd >= mostly_crowd ? Kind::reaction : Kind::cutaway;
}

// A spreadsheet takes a reel of digits for a number and drops its zeros: such a one is left to the cut, which makes
// it anew. What the log gave to files that are away is taken.
void name_reels(std::vector<Known>& all, std::span<const shotlog::LoggedFile> logged, bool from_card) {
    std::vector<timeline::ReelWish> wishes;
    for (const Known& one : all) {
        const MediaInfo& media = one.clip->media;
        wishes.push_back({media.path, media.name, media.id, one.logged ? one.logged->reel : "",
                          one.logged && !one.logged->id.empty() ? one.logged->id : "T999999999",
                          from_card ? media.card_reel : ""});
    }
    std::set<const shotlog::LoggedFile*> here;
    for (const Known& one : all)
        here.insert(one.logged);
    for (const auto& file : logged)
        if (!here.contains(&file) && !file.reel.empty())
            wishes.push_back({file.file, std::filesystem::path(file.file).filename().string(), "", file.reel,
                              file.id, ""});
    const auto reels = timeline::make_reels(wishes);
    for (std::size_t i = 0; i < all.size(); ++i)
        if (is_new(all[i]) && all[i].clip->media.has_video && reels[i].front() >= 'A')
            all[i].clip->reel = reels[i];
}

// The files of the log, all spellings of one together.
std::vector<shotlog::LoggedFile> one_of_each(std::vector<shotlog::LoggedFile> files,
                                             const std::string& folder) {
    std::vector<shotlog::LoggedFile> each;
    std::map<std::string, std::size_t> at;
    for (auto& file : files) {
        const auto [known, fresh] = at.emplace(file_key(folder, file.file), each.size());
        if (fresh) {
            each.push_back(std::move(file));
            continue;
        }
        shotlog::LoggedFile& one = each[known->second];
        one.rows += file.rows;
        for (auto member :
             {&shotlog::LoggedFile::camera, &shotlog::LoggedFile::reel, &shotlog::LoggedFile::moment})
            if ((one.*member).empty()) one.*member = file.*member;
        if (!one.contacts) one.contacts = file.contacts;
        if (!one.capture_fps) one.capture_fps = file.capture_fps;
    }
    return each;
}

void note_splits(std::vector<Known>& all, std::span<const DayClip> days,
                 std::span<const clocks::Recording> recordings, std::vector<std::string>& notes) {
    const auto add = [](Known& one, const std::string& note) {
        if (is_new(one)) one.clip->note += (one.clip->note.empty() ? "" : ", ") + note;
    };
    for (const auto& [from, to] : find_splits(days, recordings)) {
        add(all[from], "goes on in " + days[to].media->name);
        add(all[to], "goes on from " + days[from].media->name);
        if (is_new(all[to]))
            notes.push_back(fmt::format("{} goes on where {} ends: one recording, which the camera split",
                                        all[to].clip->file, all[from].clip->file));
    }
}

} // namespace

Result<ClipDay> place_in_day(std::vector<FoundClip>& clips, const text::CsvTable& log, const job::Job& job,
                             const LongWork& work) {
    const auto logged = one_of_each(shotlog::logged_files(log), job.folder);
    std::map<std::string, const shotlog::LoggedFile*> by_key;
    for (const auto& file : logged)
        by_key.emplace(file_key(job.folder, file.file), &file);
    std::vector<Known> all;
    for (FoundClip& clip : clips) {
        const auto known = by_key.find(file_key(job.folder, clip.file));
        all.push_back({&clip, known == by_key.end() ? nullptr : known->second, {}});
    }
    name_cameras(all);
    std::vector<DayClip> days;
    for (const Known& one : all)
        days.push_back(day_clip(one, job));
    const auto recordings = recordings_of(days);
    ClipDay day;
    day.clock = clocks::set_day_clock(recordings, given_offsets(job), work);
    if (work.stop_asked()) return stopped_in_time();
    day.notes = tell_clocks(day.clock, job);
    const auto moments = clocks::moments(day.clock, recordings);

    std::vector<std::size_t> order(all.size());
    for (std::size_t i = 0; i < order.size(); ++i)
        order[i] = i;
    std::ranges::stable_sort(order, [&](std::size_t a, std::size_t b) {
        if (is_new(all[a]) != is_new(all[b])) return is_new(all[b]);
        return order_s(day.clock, recordings[a]) < order_s(day.clock, recordings[b]);
    });
    name_moments(all, moments, order, MomentNames(log));
    name_reels(all, logged, job.lists.reels_from_card);
    note_splits(all, days, recordings, day.notes);
    std::set<std::string> cameras;
    for (std::size_t i = 0; i < all.size(); ++i) {
        if (is_new(all[i])) all[i].clip->kind = guess(all[i], i, moments, recordings, day.clock);
        if (const auto at_s = order_s(day.clock, recordings[i]); recordings[i].began)
            all[i].clip->began = date_and_time(at_s);
        if (!all[i].clip->camera.empty()) cameras.insert(all[i].clip->camera);
    }
    day.cameras.assign(cameras.begin(), cameras.end());
    std::vector<FoundClip> sorted;
    for (const std::size_t i : order)
        sorted.push_back(std::move(*all[i].clip));
    clips = std::move(sorted);
    return day;
}

} // namespace downball::pipeline
