// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/pipeline/log_update.h"

#include "pipeline/clip_day.h"
#include "pipeline/gather.h"
#include "pipeline/moved.h"
#include "pipeline/places.h"
#include "pipeline/renamed.h"
#include "pipeline/scan.h"

#include "downball/base/text.h"
#include "downball/files/files.h"
#include "downball/job/job.h"
#include "downball/shotlog/log.h"
#include "downball/text/csv.h"

#include <algorithm>
#include <filesystem>
#include <fmt/format.h>
#include <map>

namespace downball::pipeline {

namespace {

namespace fs = std::filesystem;

// `renamed`: what was not where it was looked for, but has another name.
void tell(const Moved& moved, const std::map<std::string, std::string>& renamed, const Talk& talk) {
    constexpr std::size_t most = 20;
    if (!moved.found.empty())
        talk.line(fmt::format("{} moved; the log says now where to: {}",
                              moved.found.size() == 1 ? "a file has"
                                                      : fmt::format("{} files have", moved.found.size()),
                              tell_moves(moved.found, most)));
    for (const auto& note : moved.notes)
        talk.line(note);
    if (std::ranges::any_of(moved.lost, [&](const auto& lost) { return !renamed.contains(lost.first); }))
        talk.line("files that are gone were looked for by name and size below " + moved.looked_in);
}

void tell(const Renamed& renamed, const Talk& talk) {
    if (const auto told = tell_renamed(renamed.found); !told.empty()) talk.line(told);
    for (const auto& note : renamed.notes)
        talk.line(note);
}

Search search_of(const job::Job& job, const LogChange& change, analysis::Folder& kept) {
    Search search{.footage = {},
                  .own = {from_folder(job.folder, job.song.file), change.job, change.log,
                          from_folder(job.folder, job.out)},
                  .folder = job.folder,
                  .floor = listening_floor(job),
                  .kept = kept};
    if (const auto own = analysis_path(job); !own.empty()) search.own.push_back(own);
    for (const auto& folder : job.footage)
        search.footage.push_back(from_folder(job.folder, folder));
    return search;
}

struct Before {
    std::string text;
    text::CsvTable table;
};

// A log that is not there is an empty one.
Result<Before> read_before(const std::string& log) {
    if (std::error_code ignored; !fs::exists(log, ignored)) return Before{"", shotlog::new_table()};
    auto content = files::read_text(log);
    if (!content) return content.error();
    auto table = text::read_csv(*content, log);
    if (!table) return table.error();
    return Before{std::move(*content), std::move(*table)};
}

} // namespace

Result<LogChange> update_log(const std::string& job_path, const Talk& talk) {
    const auto job = load_job(job_path);
    if (!job) return job.error();
    LogChange change;
    change.job = job_file(job_path);
    change.log = from_folder(job->folder, job->log);

    auto before = read_before(change.log);
    if (!before) return before.error();
    auto& table = before->table;
    const auto moved = find_moved(shotlog::logged_files(table), job->folder, search_folders(*job), talk.stop);
    if (!moved) return moved.error();
    if (!moved->doubtful.empty()) return Error{Fault::bad_input, join(moved->doubtful, "\n"), change.log};
    table = shotlog::with_new_places(std::move(table), moved->found);
    auto kept = analysis_folder(*job);
    const auto search = search_of(*job, change, kept);
    const auto clips = find_clips(search, table, talk);
    if (!clips) return clips.error();
    const auto renamed = find_renamed(shotlog::logged_files(table), job->folder, clips->fresh, talk.stop);
    if (!renamed) return renamed.error();
    table = shotlog::with_new_places(std::move(table), renamed->found);
    auto found = scan(*clips, search, table, talk);
    tell(kept, talk);
    if (!found) return found.error();
    const auto day = place_in_day(found->clips, table, *job, talk.stage("comparing the cameras' clocks"));
    if (!day) return day.error();
    tell(*moved, renamed->found, talk);
    tell(*renamed, talk);
    tell(*clips, talk);
    tell(*found, talk);
    for (const auto& note : day->notes)
        talk.line(note);
    if (const auto told = tell_changed(shotlog::logged_files(table), job->folder); !told.empty())
        talk.line(told);

    auto merged = shotlog::merge(table, found->clips,
                                 [&](const std::string& file) { return file_key(job->folder, file); });
    change.clips = found->clips.size();
    change.listened = found->listened;
    change.added = merged.added;
    for (const auto& file : merged.gone) {
        const auto lost = moved->lost.find(file);
        change.gone.push_back({file, lost == moved->lost.end() ? "" : lost->second});
    }
    const auto after = text::write_csv(merged.table);
    if (after == before->text) return change;
    files::OutputSet outputs;
    if (auto added = outputs.add(change.log, after); !added) return added.error();
    if (auto done = outputs.commit(); !done) return done.error();
    change.written = true;
    return change;
}

} // namespace downball::pipeline
