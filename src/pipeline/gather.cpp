// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/gather.h"

#include "pipeline/lend_sound.h"
#include "pipeline/missing.h"
#include "pipeline/moved.h"
#include "pipeline/one_contact.h"
#include "pipeline/places.h"

#include "downball/analysis/listen.h"
#include "downball/files/files.h"
#include "downball/impacts/impact_finder.h"
#include "downball/shotlog/log.h"

#include <algorithm>
#include <atomic>
#include <chrono>
#include <filesystem>
#include <fmt/format.h>
#include <future>
#include <map>
#include <set>

namespace downball::pipeline {

namespace {

namespace fs = std::filesystem;

// Clips the log speaks of; a clip is listened to if some row of it is an action that nobody has listened to.
std::vector<analysis::Wanted> wanted_clips(const shotlog::Log& log, const std::string& folder) {
    std::map<std::string, bool> clips;
    for (const auto& row : log.rows)
        clips[from_folder(folder, row.file)] |=
            row.tags.kind == Kind::action && !row.listened && row.tags.use != Use::never;
    std::vector<analysis::Wanted> wanted;
    for (const auto& [path, listen] : clips)
        wanted.push_back({path, listen});
    return wanted;
}

// Rows of files that lie elsewhere now get the new place, in this run alone; the log stays as it is.
Result<Moved> follow_moves(shotlog::Log& log, const job::Job& job, const Talk& talk) {
    auto moved = find_moved(shotlog::logged_files(log.table), job.folder, search_folders(job), talk.stop);
    if (!moved) return moved.error();
    for (auto& row : log.rows)
        if (const auto place = moved->found.find(row.file); place != moved->found.end())
            row.file = place->second;
    if (auto note = moved_note(moved->found); !note.empty()) log.notes.push_back(std::move(note));
    log.notes.insert(log.notes.end(), moved->notes.begin(), moved->notes.end());
    return moved;
}

// One error for all clips that failed. A row that is never used may name a clip that is gone: it is left out.
Result<void> drop_or_complain(shotlog::Log& log, const analysis::Surveyed& surveyed, const Moved& moved,
                              const std::string& folder) {
    std::string complaints;
    std::erase_if(log.rows, [&](const shotlog::Row& row) {
        const auto failure = surveyed.failed.find(from_folder(folder, row.file));
        if (failure == surveyed.failed.end()) return false;
        if (row.tags.use == Use::never) return true;
        complaints += fmt::format("{}line {}, {}: {}", complaints.empty() ? "" : "\n", row.line,
                                  failure->first, failure->second.what);
        if (const auto lost = moved.lost.find(row.file); lost != moved.lost.end() && !lost->second.empty())
            complaints += "; " + lost->second;
        return false;
    });
    if (complaints.empty()) return {};
    complaints += "\nPut these clips back, or write never in the column use of their rows.";
    if (!moved.lost.empty())
        complaints +=
            fmt::format("\nFiles that are not there were looked for by name and size below {}; `downball "
                        "log` also finds those that have another name.",
                        moved.looked_in);
    return Error{Fault::bad_input, complaints, log.path};
}

// What a log holds was sure enough when the clip was listened to; a lower floor brings nothing more out of it.
void note_unheard(shotlog::Log& log, const job::Job& job) {
    const double floor = job.limits.variety.confidence_floor;
    const auto rows = std::ranges::count_if(log.rows, [&](const shotlog::Row& row) {
        return row.tags.kind == Kind::action && row.listened &&
               std::ranges::none_of(row.contacts, [&](const shotlog::WrittenContact& contact) {
                   return contact.by_hand || contact.confidence < impacts::default_floor;
               });
    });
    if (floor < impacts::default_floor && rows > 0)
        log.notes.push_back(fmt::format(
            "variety.confidence_floor is {}, but the log holds contacts from {} up for {} action rows: empty "
            "their cells in `contacts` and run `downball log`, which then listens from {} up",
            floor, impacts::default_floor, rows, floor));
}

shotlog::Footage footage_of(const shotlog::Log& log, const analysis::Surveyed& surveyed, const Moved& moved,
                            const job::Job& job) {
    shotlog::Footage footage;
    std::map<std::string, std::string> logged_as; // by the place where the file is now
    for (const auto& [from, to] : moved.found)
        logged_as.emplace(to, from);
    for (const auto& row : log.rows) {
        const auto path = from_folder(job.folder, row.file);
        const auto media = footage.media.emplace(row.file, surveyed.media.at(path)).first;
        if (const auto was = logged_as.find(row.file); was != logged_as.end())
            media->second.moved_from = was->second;
        if (const auto heard = surveyed.heard.find(path); heard != surveyed.heard.end())
            footage.heard.emplace(row.file, heard->second);
        else if (const auto deaf = surveyed.unheard.find(path); deaf != surveyed.unheard.end())
            footage.heard.emplace(row.file, Hearing{{}, 0, {deaf->second.what}});
    }
    for (const auto& [id, camera] : job.cameras)
        footage.cameras[id] = {camera.sound_offset_s, camera.distance_m, camera.capture_fps};
    lend_sound(log, job, footage);
    for (const auto& [id, player] : job.players)
        footage.teams[id] = player.team;
    footage.match_facts = job.match;
    footage.delivery = job.limits.delivery.rate;
    footage.air_temperature_c = job.sound.air_temperature_c;
    footage.confidence_floor = job.limits.variety.confidence_floor;
    return footage;
}

} // namespace

Result<job::Job> load_job(const std::string& job_path) {
    const auto path = job_file(job_path);
    auto content = files::read_text(path);
    if (!content) return content.error();
    auto job = job::read_job(*content, path);
    if (!job) return job.error();
    job->folder = fs::path(path).parent_path().string();
    return job;
}

std::vector<std::string> search_folders(const job::Job& job) {
    std::vector<std::string> folders;
    for (const auto& folder : job.footage)
        folders.push_back(from_folder(job.folder, folder));
    folders.push_back(fs::path(from_folder(job.folder, job.log)).parent_path().string());
    folders.push_back(job.folder);
    return folders;
}

double listening_floor(const job::Job& job) {
    return std::min(impacts::default_floor, job.limits.variety.confidence_floor);
}

std::string analysis_path(const job::Job& job) {
    return job.analysis.folder.empty() ? std::string() : from_folder(job.folder, job.analysis.folder);
}

analysis::Folder analysis_folder(const job::Job& job) {
    return analysis::Folder(analysis_path(job), static_cast<std::uint64_t>(job.analysis.most_mb) * 1'000'000);
}

void tell(analysis::Folder& kept, const Talk& talk) {
    for (const auto& note : kept.close())
        talk.line("note: " + note);
}

Result<ShotLog> gather_log(const job::Job& job, analysis::Folder& kept, const Talk& talk, Missing missing) {
    const auto log_path = from_folder(job.folder, job.log);
    const auto content = files::read_text(log_path);
    if (!content) return content.error();
    std::vector<shotlog::RosterPlayer> roster;
    for (const auto& [id, player] : job.players)
        roster.push_back({id, player.name, player.team});
    auto log = shotlog::read_log(*content, log_path, roster);
    if (!log) return log.error();
    if (log->rows.empty())
        return Error{
            Fault::bad_input,
            "this log has no clips; put footage where `footage` of the job says and run `downball log`, or "
            "enter rows",
            log_path};
    const auto moved = follow_moves(*log, job, talk);
    if (!moved) return moved.error();
    // Two spellings of one path are one file: its reel, and the rule that no source is shown twice, go by it.
    std::map<std::string, std::string> spelling;
    for (auto& row : log->rows)
        row.file = spelling.emplace(file_key(job.folder, row.file), row.file).first->second;

    note_unheard(*log, job);
    auto surveyed = analysis::survey(wanted_clips(*log, job.folder), listening_floor(job), kept,
                                     talk.stage("listening to the clips"));
    if (!surveyed) return surveyed.error();
    std::set<std::string> absent;
    if (missing == Missing::keep)
        absent = stand_in(*log, *surveyed, *moved, job.folder);
    else if (auto complete = drop_or_complain(*log, *surveyed, *moved, job.folder); !complete)
        return complete.error();
    auto footage = footage_of(*log, *surveyed, *moved, job);
    footage.absent = std::move(absent);
    auto bound = shotlog::bind(*log, footage);
    if (bound) number_contacts(*bound, job, talk.stage("comparing the cameras' clocks"));
    if (talk.stop.stop_requested()) return stopped_in_time();
    return bound;
}

Result<Material> gather(job::Job job, analysis::Folder& kept, const Talk& talk) {
    const auto song_path = from_folder(job.folder, job.song.file);
    // A song that is not there is told at once.
    if (const auto media = analysis::find_clip(song_path, false, kept, {{}, talk.stop}); !media)
        return media.error();
    // Told while nothing else is, and called off where the clips fail: their error is the one that is told.
    std::atomic<double> heard = 0;
    std::stop_source no_use;
    const std::stop_callback pass_on(talk.stop, [&] { no_use.request_stop(); });
    auto listening = std::async(std::launch::async, [&] {
        return analysis::find_song(song_path, job.song.hints, kept,
                                   {[&](double done) { heard = done; }, no_use.get_token()});
    });
    auto log = gather_log(job, kept, talk);
    if (!log) no_use.request_stop();
    const auto work = talk.stage("listening to the song");
    while (listening.wait_for(std::chrono::milliseconds(50)) == std::future_status::timeout)
        if (log) work.report(heard);
    auto song = listening.get();
    if (!log) return log.error();
    if (!song) return song.error();
    work.report(1);
    if (song->beats.beats.empty())
        return Error{Fault::bad_input, "no beat was found in this song; choose a song with a plain beat",
                     song_path};
    return Material{std::move(job), std::move(song->media), std::move(song->beats), std::move(*log)};
}

} // namespace downball::pipeline
