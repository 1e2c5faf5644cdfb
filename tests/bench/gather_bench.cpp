// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
// What reading a job costs before anything is chosen, part by part: run twice, so that its analysis folder is filled, it
// tells how `cut` grows with the number of clips.
//   gather_bench JOB       a line a part: name, wall s, cpu s, two blanks or more between
#include "analysis/clip_text.h"
#include "pipeline/gather.h"
#include "pipeline/lend_sound.h"
#include "pipeline/moved.h"
#include "pipeline/one_contact.h"
#include "pipeline/places.h"

#include "downball/analysis/listen.h"
#include "downball/files/files.h"
#include "downball/shotlog/log.h"

#include <chrono>
#include <cstdio>
#include <ctime>
#include <fmt/format.h>
#include <set>

using namespace downball;

namespace {

template <class Work>
auto timed(const char* part, Work work) {
    const auto wall = std::chrono::steady_clock::now();
    const std::clock_t cpu = std::clock();
    auto made = work();
    const std::chrono::duration<double> passed = std::chrono::steady_clock::now() - wall;
    fmt::print("{:30}  {:10.4f}  {:10.4f}\n", part, passed.count(),
               static_cast<double>(std::clock() - cpu) / CLOCKS_PER_SEC);
    return made;
}

template <class T>
T must(Result<T> result) {
    if (result) return std::move(*result);
    fmt::print(stderr, "{}\n", to_string(result.error()));
    std::exit(3);
}

shotlog::Log read(const job::Job& job) {
    std::vector<shotlog::RosterPlayer> roster;
    for (const auto& [id, player] : job.players)
        roster.push_back({id, player.name, player.team});
    const auto path = pipeline::from_folder(job.folder, job.log);
    return must(shotlog::read_log(must(files::read_text(path)), path, roster));
}

std::vector<analysis::Wanted> wanted(const shotlog::Log& log, const job::Job& job) {
    std::set<std::string> paths;
    for (const auto& row : log.rows)
        paths.insert(pipeline::from_folder(job.folder, row.file));
    std::vector<analysis::Wanted> clips;
    for (const auto& path : paths)
        clips.push_back({path, true});
    return clips;
}

// The two halves of looking a clip up, one thread each, from the disk's cache.
void look_up(const std::vector<analysis::Wanted>& clips, const job::Job& job) {
    auto kept = pipeline::analysis_folder(job);
    std::vector<std::string> ids;
    timed("tell files by size and times", [&] {
        for (const auto& clip : clips)
            ids.push_back(must(kept.identify(clip.path)).id);
        return 0;
    });
    timed("read their documents", [&] {
        std::size_t found = 0;
        for (const auto& id : ids)
            found += kept.find(analysis::clip_document(id)).has_value();
        return found;
    });
    (void)kept.close(); // what was read is known next time
}

shotlog::Footage footage_of(const shotlog::Log& log, const analysis::Surveyed& surveyed,
                            const job::Job& job) {
    shotlog::Footage footage;
    for (const auto& row : log.rows) {
        const auto path = pipeline::from_folder(job.folder, row.file);
        if (const auto media = surveyed.media.find(path); media != surveyed.media.end())
            footage.media.emplace(row.file, media->second);
        if (const auto heard = surveyed.heard.find(path); heard != surveyed.heard.end())
            footage.heard.emplace(row.file, heard->second);
    }
    for (const auto& [id, camera] : job.cameras)
        footage.cameras[id] = {camera.sound_offset_s, camera.distance_m, camera.capture_fps};
    pipeline::lend_sound(log, job, footage);
    footage.delivery = job.limits.delivery.rate;
    return footage;
}

void measure_parts(const job::Job& job) {
    auto log = timed("read the log", [&] { return read(job); });
    (void)timed("look for moved files", [&] {
        return must(pipeline::find_moved(shotlog::logged_files(log.table), job.folder,
                                         pipeline::search_folders(job), {}));
    });
    timed("one spelling a file", [&] {
        std::set<std::string> keys;
        for (const auto& row : log.rows)
            keys.insert(pipeline::file_key(job.folder, row.file));
        return keys.size();
    });
    const auto clips = wanted(log, job);
    look_up(clips, job);
    auto kept = pipeline::analysis_folder(job);
    const auto surveyed = timed("both, on all cores", [&] {
        return must(analysis::survey(clips, pipeline::listening_floor(job), kept));
    });
    const auto footage = timed("facts of the files", [&] { return footage_of(log, surveyed, job); });
    auto bound = timed("bind log and files", [&] { return must(shotlog::bind(log, footage)); });
    timed("clocks of the cameras", [&] {
        pipeline::number_contacts(bound, job, {});
        return 0;
    });
}

} // namespace

int main(int argc, char** argv) {
    if (argc != 2) {
        fmt::print(stderr, "usage: gather_bench JOB\n");
        return 2;
    }
    const auto job = must(pipeline::load_job(argv[1]));
    measure_parts(job);
    auto kept = pipeline::analysis_folder(job);
    const auto log = timed("log and clips, whole", [&] { return must(pipeline::gather_log(job, kept, {})); });
    timed("with the song", [&] { return must(pipeline::gather(job, kept, {})).log.takes.size(); });
    fmt::print("{} takes of {} files\n", log.takes.size(), log.media.size());
    return 0;
}
