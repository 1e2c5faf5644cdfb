// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/pipeline/log_update.h"

#include "pipeline/gather.h"
#include "pipeline/moved.h"
#include "pipeline/places.h"

#include "downball/base/text.h"
#include "downball/impacts/impact_finder.h"
#include "downball/job/job.h"
#include "downball/media/probe.h"
#include "downball/pipeline/files.h"
#include "downball/pipeline/listen.h"
#include "downball/shotlog/log.h"
#include "downball/text/csv.h"

#include <algorithm>
#include <filesystem>
#include <fmt/format.h>
#include <set>

namespace downball::pipeline {

namespace {

namespace fs = std::filesystem;

// Files whose every row has been listened to need no second hearing.
std::set<std::string> already_heard(const text::CsvTable& table, const std::string& folder) {
    const int file = table.column("file"), contacts = table.column("contacts");
    std::set<std::string> heard, open;
    if (file < 0 || contacts < 0) return heard;
    for (const auto& row : table.rows) {
        const std::string written(trim(row[static_cast<std::size_t>(file)]));
        const bool empty = trim(row[static_cast<std::size_t>(contacts)]).empty();
        (empty ? open : heard).insert(file_key(folder, written));
    }
    for (const auto& path : open)
        heard.erase(path);
    return heard;
}

struct Scan {
    std::vector<shotlog::FoundClip> clips;
    std::vector<std::string> left_out; // files that look like clips but cannot be read
    std::vector<std::string> notes;    // what could not be listened to in the others
    std::size_t listened = 0;
};

void tell(const Scan& found, const Talk& talk) {
    for (const auto& file : found.left_out)
        talk.line("left out: " + file);
    for (const auto& note : found.notes)
        talk.line(note);
}

// Files that rows name outside the footage folders are clips as well.
void add_logged(const text::CsvTable& table, const std::string& folder, std::vector<std::string>& paths) {
    std::set<std::string> known;
    for (const auto& path : paths)
        known.insert(file_key("", path));
    std::error_code ignored;
    for (const auto& logged : shotlog::logged_files(table)) {
        const auto path = from_folder(folder, logged.file);
        if (fs::is_regular_file(path, ignored) && known.insert(file_key("", path)).second)
            paths.push_back(path);
    }
}

void tell(const Moved& moved, const Talk& talk) {
    constexpr std::size_t most = 20;
    if (!moved.found.empty())
        talk.line(fmt::format("{} moved; the log says now where to: {}",
                              moved.found.size() == 1 ? "a file has"
                                                      : fmt::format("{} files have", moved.found.size()),
                              tell_moves(moved.found, most)));
    for (const auto& note : moved.notes)
        talk.line(note);
    if (!moved.lost.empty())
        talk.line("files that are gone were looked for by name and size below " + moved.looked_in);
}

// Previews are no footage, even where they lie among it.
std::vector<std::string> without_outputs(std::vector<std::string> paths,
                                         const std::vector<std::string>& folders, const std::string& out) {
    const auto below = [out = file_key("", out)](const std::string& path) {
        const auto key = file_key("", path);
        return key == out || lies_below(out, key);
    };
    if (std::ranges::none_of(folders, below)) std::erase_if(paths, below);
    return paths;
}

Result<Scan> scan(const std::vector<std::string>& folders, const std::string& out,
                  const std::string& log_folder, const text::CsvTable& table, double floor,
                  const Talk& talk) {
    const auto found = clips_below(folders);
    if (!found) return found.error();
    auto paths = without_outputs(*found, folders, out);
    add_logged(table, log_folder, paths);
    const auto heard = already_heard(table, log_folder);
    if (paths.empty())
        return Error{Fault::bad_input,
                     "no clips here; expected video files such as .mp4, .mov or .mts below this folder",
                     folders.empty() ? "footage" : folders.front()};
    Scan result;
    std::vector<Wanted> wanted;
    for (const auto& path : paths) {
        const auto written = as_written(log_folder, path);
        if (valid_utf8(written))
            wanted.push_back({path, !heard.contains(file_key(log_folder, written))});
        else // as no log could hold it
            result.left_out.push_back(path +
                                      ": this name is no UTF-8; rename the file, or the folder it is in");
    }
    const auto surveyed = survey(wanted, floor, talk.stage("listening to the clips"));
    if (!surveyed) return surveyed.error();

    for (const auto& [path, listen] : wanted) {
        if (const auto failure = surveyed->failed.find(path); failure != surveyed->failed.end()) {
            result.left_out.push_back(to_string(failure->second));
            continue;
        }
        shotlog::FoundClip clip{as_written(log_folder, path), surveyed->media.at(path), std::nullopt};
        if (const auto hearing = surveyed->heard.find(path); hearing != surveyed->heard.end()) {
            for (const auto& note : hearing->second.notes)
                result.notes.push_back(clip.file + ": " + note);
            clip.hearing = hearing->second;
            ++result.listened;
        } else if (const auto deaf = surveyed->unheard.find(path); deaf != surveyed->unheard.end()) {
            result.notes.push_back(to_string(deaf->second));
        }
        result.clips.push_back(std::move(clip));
    }
    if (result.clips.empty())
        return Error{Fault::bad_input,
                     "none of the clips here can be read:\n" +
                         fmt::format("{}", fmt::join(result.left_out, "\n")),
                     folders.front()};
    return result;
}

} // namespace

Result<LogChange> start_job(const std::string& footage, const std::string& song, const std::string& into,
                            const Talk& talk) {
    LogChange change;
    change.job = (fs::path(into) / "job.json").string();
    change.log = (fs::path(into) / "log.csv").string();
    for (const auto& path : {change.job, change.log})
        if (std::error_code ignored; fs::exists(path, ignored))
            return Error{Fault::cannot_write,
                         "this file is there already and stays as it is; use `downball log` to bring a log "
                         "up to date, "
                         "or start in another folder with --in",
                         path};
    for (const auto& path : {song, footage})
        if (!valid_utf8(as_written(into, path)))
            return Error{Fault::bad_input, "this path is no UTF-8, which job.json needs; rename it", path};
    const auto probed = media::probe(song);
    if (!probed) return probed.error();
    if (!probed->audio) return Error{Fault::bad_input, "this file has no sound; choose a song", song};

    auto found = scan({footage}, from_folder(into, job::Job().out), into, shotlog::new_table(),
                      impacts::default_floor, talk);
    if (!found) return found.error();
    tell(*found, talk);
    const auto merged = shotlog::merge(shotlog::new_table(), found->clips);
    change.clips = found->clips.size();
    change.listened = found->listened;
    change.added = merged.added;
    change.written = true;

    if (auto made = make_folder(into.empty() ? "." : into); !made) return made.error();
    OutputSet outputs;
    const auto name = fs::path(as_written("/", footage)).filename().string(); // also of "cards/" and "."
    const auto job = job::starter_job(as_written(into, song), {as_written(into, footage)}, name);
    if (auto added = outputs.add(change.job, job); !added) return added.error();
    if (auto added = outputs.add(change.log, text::write_csv(merged.table)); !added) return added.error();
    if (auto done = outputs.commit(); !done) return done.error();
    return change;
}

Result<LogChange> update_log(const std::string& job_path, const Talk& talk) {
    const auto job = load_job(job_path);
    if (!job) return job.error();
    LogChange change;
    change.job = job_file(job_path);
    change.log = from_folder(job->folder, job->log);

    std::error_code ignored;
    std::string before;
    auto table = shotlog::new_table();
    if (fs::exists(change.log, ignored)) {
        auto content = read_text(change.log);
        if (!content) return content.error();
        before = std::move(*content);
        auto read = text::read_csv(before, change.log);
        if (!read) return read.error();
        table = std::move(*read);
    }
    const auto moved = find_moved(shotlog::logged_files(table), job->folder, search_folders(*job), talk.stop);
    if (!moved) return moved.error();
    if (!moved->doubtful.empty()) return Error{Fault::bad_input, join(moved->doubtful, "\n"), change.log};
    table = shotlog::with_new_places(std::move(table), moved->found);
    std::vector<std::string> folders;
    for (const auto& folder : job->footage)
        folders.push_back(from_folder(job->folder, folder));
    auto found =
        scan(folders, from_folder(job->folder, job->out), job->folder, table, listening_floor(*job), talk);
    if (!found) return found.error();
    tell(*moved, talk);
    tell(*found, talk);

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
    if (after == before) return change;
    OutputSet outputs;
    if (auto added = outputs.add(change.log, after); !added) return added.error();
    if (auto done = outputs.commit(); !done) return done.error();
    change.written = true;
    return change;
}

} // namespace downball::pipeline
