// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/lend_sound.h"

#include "pipeline/camera_day.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

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

std::optional<double> begins_at(const clocks::Recording& recording,
                                const std::map<std::string, double>& offsets) {
    if (!recording.began || recording.began->step_s > finest_needed_s) return std::nullopt;
    const auto offset = offsets.find(recording.camera);
    return recording.began->at_s + (offset == offsets.end() ? 0 : offset->second);
}

} // namespace

void lend_sound(const shotlog::Log& log, const job::Job& job, shotlog::Footage& footage) {
    const bool asked = std::ranges::any_of(
        job.cameras, [](const auto& camera) { return !camera.second.sound_from.empty(); });
    if (!asked) return;
    const auto files = files_of(log, footage);
    std::vector<DayClip> clips;
    for (const DayFile& file : files)
        clips.push_back(file.clip);
    const auto recordings = recordings_of(clips);
    const auto offsets = given_offsets(job);

    for (std::size_t i = 0; i < files.size(); ++i) {
        const auto camera = job.cameras.find(clips[i].camera);
        if (camera == job.cameras.end() || camera->second.sound_from.empty()) continue;
        const MediaInfo& media = *clips[i].media;
        if (!media.has_video || media.audio) continue;
        const std::string& lender = camera->second.sound_from;
        const auto begin_s = begins_at(recordings[i], offsets);
        Hearing lent;
        bool covered = false, told = begin_s.has_value();
        for (std::size_t j = 0; j < files.size() && begin_s; ++j) {
            if (clips[j].camera != lender) continue;
            const auto its_s = begins_at(recordings[j], offsets);
            told = told && its_s.has_value();
            if (!its_s || *its_s >= *begin_s + recordings[i].real_s ||
                *its_s + recordings[j].real_s <= *begin_s)
                continue;
            covered = true;
            const double slower = times_slower(media, clips[i].capture_fps);
            for (const clocks::Contact& contact : recordings[j].contacts) {
                const double at_s = (*its_s + contact.at_s - *begin_s) * slower;
                if (at_s >= 0 && at_s < media.duration_s)
                    lent.contacts.push_back(
                        {.sound_s = at_s, .confidence = contact.confidence, .strength = contact.confidence});
            }
        }
        std::ranges::stable_sort(lent.contacts, {}, &Heard::sound_s);
        if (!told && !covered)
            lent.notes.push_back(fmt::format("hears by {}, but the clocks of the two are not both known to "
                                             "the frame, so nothing is lent: both need time-of-day "
                                             "timecode; or enter marks",
                                             lender));
        else if (!covered)
            lent.notes.push_back(fmt::format("hears by {}, which recorded nothing at that time", lender));
        footage.heard[files[i].file] = std::move(lent);
        footage.heard_by[files[i].file] = lender;
    }
}

} // namespace downball::pipeline
