// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/lend_sound.h"

#include "pipeline/camera_day.h"

#include "downball/base/notes.h"
#include "downball/base/text.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <set>

namespace downball::pipeline {
namespace {

// Labels at 20 pictures a second or more; half of it is the most that a contact may be off by.
constexpr double finest_needed_s = 0.05;

struct DayFile {
    std::string file;
    DayClip clip;
};

// Rows of one file may each have all of its contacts or those of their parts, and cells are rounded.
void add_new(std::vector<clocks::Contact>& heard, const std::vector<clocks::Contact>& more) {
    constexpr double same_s = 0.001;
    for (const clocks::Contact& contact : more)
        if (std::ranges::none_of(
                heard, [&](const auto& known) { return std::abs(known.at_s - contact.at_s) <= same_s; }))
            heard.push_back(contact);
}

std::vector<clocks::Contact> heard_in(const shotlog::Row& row, const shotlog::Footage& footage) {
    std::vector<clocks::Contact> contacts;
    for (const auto& written : row.contacts)
        contacts.push_back({written.seconds, written.confidence});
    if (row.listened) return contacts;
    if (const auto heard = footage.heard.find(row.file); heard != footage.heard.end())
        for (const Heard& contact : heard->second.contacts)
            contacts.push_back({contact.sound_s, contact.confidence});
    return contacts;
}

// Files of the log once each, with all that any of their rows heard.
std::vector<DayFile> files_of(const shotlog::Log& log, const shotlog::Footage& footage) {
    std::vector<DayFile> files;
    std::map<std::string, std::size_t> at;
    for (const auto& row : log.rows) {
        const auto media = footage.media.find(row.file);
        if (media == footage.media.end()) continue;
        const auto [known, fresh] = at.emplace(row.file, files.size());
        if (fresh) files.push_back({row.file, {row.camera, &media->second, row.tags.capture_fps, {}}});
        DayClip& clip = files[known->second].clip;
        if (!clip.capture_fps) {
            const auto camera = footage.cameras.find(row.camera);
            clip.capture_fps = row.tags.capture_fps              ? row.tags.capture_fps
                               : camera == footage.cameras.end() ? std::nullopt
                                                                 : camera->second.capture_fps;
        }
        add_new(clip.heard, heard_in(row, footage));
    }
    return files;
}

// The contacts of other cameras, on the time of a silent clip.
class Lender {
  public:
    Lender(const std::vector<DayFile>& files, const job::Job& job) : offsets_(given_offsets(job)) {
        for (const DayFile& file : files)
            clips_.push_back(file.clip);
        recordings_ = recordings_of(clips_);
    }

    Hearing lend(std::size_t silent, const std::string& lender) const {
        Hearing lent;
        std::set<std::string> cameras, without;
        bool covered = false;
        if (!begins_at(silent)) without.insert(clips_[silent].camera);
        for (std::size_t j = 0; j < clips_.size(); ++j) {
            cameras.insert(clips_[j].camera);
            if (clips_[j].camera != lender) continue;
            if (!begins_at(j)) without.insert(lender);
            if (!begins_at(silent) || !begins_at(j) || !together(silent, j)) continue;
            covered = true;
            add(silent, j, lent.contacts);
        }
        std::ranges::stable_sort(lent.contacts, {}, &Heard::sound_s);
        keep_surer(lent.contacts, times_slower(*clips_[silent].media, clips_[silent].capture_fps));
        if (!cameras.contains(lender))
            lent.notes.push_back(fmt::format("hears by {}, but no row of the log has that camera; it has {}",
                                             lender,
                                             some_of(std::vector(cameras.begin(), cameras.end()), 6)));
        else if (!covered && !without.empty())
            lent.notes.push_back(fmt::format("hears by {}, but files of {} do not tell the time to the "
                                             "frame, by time-of-day timecode, so nothing "
                                             "is lent; enter marks",
                                             lender,
                                             join(std::vector(without.begin(), without.end()), " and of ")));
        else if (!covered)
            lent.notes.push_back(fmt::format("hears by {}, which recorded nothing at that time", lender));
        return lent;
    }

  private:
    std::optional<double> begins_at(std::size_t at) const {
        const clocks::Recording& recording = recordings_[at];
        if (!recording.began || recording.began->step_s > finest_needed_s) return std::nullopt;
        const auto offset = offsets_.find(recording.camera);
        return recording.began->at_s + (offset == offsets_.end() ? 0 : offset->second);
    }

    bool together(std::size_t a, std::size_t b) const {
        const double a_s = *begins_at(a), b_s = *begins_at(b);
        return b_s < a_s + recordings_[a].real_s && a_s < b_s + recordings_[b].real_s;
    }

    void add(std::size_t silent, std::size_t other, std::vector<Heard>& contacts) const {
        const MediaInfo& media = *clips_[silent].media;
        const double slower = times_slower(media, clips_[silent].capture_fps);
        for (const clocks::Contact& contact : recordings_[other].contacts) {
            const double at_s = (*begins_at(other) + contact.at_s - *begins_at(silent)) * slower;
            if (at_s >= 0 && at_s < media.duration_s)
                contacts.push_back(
                    {.sound_s = at_s, .confidence = contact.confidence, .strength = contact.confidence});
        }
    }

    // Recorders write a file a track, and each holds the contact.
    static void keep_surer(std::vector<Heard>& contacts, double slower) {
        constexpr double one_contact_s = 0.06;
        std::vector<Heard> kept;
        for (const Heard& contact : contacts) {
            if (kept.empty() || contact.sound_s - kept.back().sound_s > one_contact_s * slower)
                kept.push_back(contact);
            else if (contact.confidence > kept.back().confidence)
                kept.back() = contact;
        }
        contacts = std::move(kept);
    }

    std::vector<DayClip> clips_;
    std::vector<clocks::Recording> recordings_;
    std::map<std::string, double> offsets_;
};

} // namespace

void lend_sound(const shotlog::Log& log, const job::Job& job, shotlog::Footage& footage) {
    const bool asked = std::ranges::any_of(
        job.cameras, [](const auto& camera) { return !camera.second.sound_from.empty(); });
    if (!asked) return;
    const auto files = files_of(log, footage);
    const Lender lender(files, job);
    for (std::size_t i = 0; i < files.size(); ++i) {
        const auto& [file, clip] = files[i];
        const auto camera = job.cameras.find(clip.camera);
        if (camera == job.cameras.end() || camera->second.sound_from.empty()) continue;
        if (!clip.media->has_video || clip.media->audio) continue;
        footage.heard[file] = lender.lend(i, camera->second.sound_from);
        footage.heard_by[file] = camera->second.sound_from;
    }
}

} // namespace downball::pipeline
