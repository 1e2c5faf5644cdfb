// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/pipeline/start_job.h"

#include "pipeline/card_copy.h"
#include "pipeline/clip_day.h"
#include "pipeline/gather.h"
#include "pipeline/places.h"
#include "pipeline/removable.h"
#include "pipeline/scan.h"

#include "downball/base/text.h"
#include "downball/files/files.h"
#include "downball/impacts/impact_finder.h"
#include "downball/job/job.h"
#include "downball/media/probe.h"
#include "downball/shotlog/log.h"
#include "downball/text/csv.h"

#include <cmath>
#include <filesystem>
#include <fmt/format.h>

namespace downball::pipeline {

namespace {

namespace fs = std::filesystem;

// All that can be refused before anything long begins.
Result<void> check(const NewJob& wanted, const LogChange& change) {
    for (const auto& path : {change.job, change.log})
        if (std::error_code ignored; fs::exists(path, ignored))
            return Error{
                Fault::cannot_write,
                "this file is there already and stays as it is; use `downball log` to bring a log up to "
                "date, or start in another folder with --in",
                path};
    for (const auto& path : {wanted.song, wanted.footage, wanted.copy_to})
        if (!path.empty() && !valid_utf8(as_written(wanted.into, path)))
            return Error{Fault::bad_input, "this path is no UTF-8, which job.json needs; rename it", path};
    // A name that was said is not put right in silence.
    const auto trial = job::read_job(job::starter_job("song", {"footage"}, wanted.name), change.job);
    if (!wanted.name.empty() && !(trial && trial->name == wanted.name))
        return Error{
            Fault::usage,
            fmt::format("no file can be called \"{}\"; give a name without / and the like", wanted.name),
            "--name"};
    const auto probed = media::probe(wanted.song);
    if (!probed) return probed.error();
    if (!probed->audio) return Error{Fault::bad_input, "this file has no sound; choose a song", wanted.song};
    return {};
}

// Where the footage is read from: a copy, if one was asked for.
Result<std::string> place_of_footage(const NewJob& wanted, const Talk& talk) {
    if (wanted.copy_to.empty()) {
        if (on_removable(wanted.footage))
            talk.line(fmt::format(
                "{} is read where it lies, on a card or disk that can be taken out; copy it first "
                "with --copy-to, or keep it in",
                wanted.footage));
        return wanted.footage;
    }
    const auto copy = copy_card(wanted.footage, wanted.copy_to, talk);
    if (!copy) return copy.error();
    for (const auto& note : copy->notes)
        talk.line(note);
    talk.line(fmt::format("{} copied to {} and compared, {} were there already",
                          copy->copied == 1 ? "1 file" : fmt::format("{} files", copy->copied), copy->folder,
                          copy->kept));
    return copy->folder;
}

// Each camera of the footage with the offset of its clock, where that is sure.
std::map<std::string, job::Camera> cameras_of(const ClipDay& day) {
    std::map<std::string, job::Camera> cameras;
    for (const auto& id : day.cameras) {
        job::Camera& camera = cameras[id];
        const auto known = day.clock.cameras.find(id);
        if (known != day.clock.cameras.end() && known->second.confidence >= clocks::sure_enough)
            camera.clock_offset_s = std::round(known->second.offset_s * 100) / 100;
    }
    return cameras;
}

} // namespace

Result<LogChange> start_job(const NewJob& wanted, const Talk& talk) {
    const auto& into = wanted.into;
    LogChange change;
    change.job = (fs::path(into) / "job.json").string();
    change.log = (fs::path(into) / "log.csv").string();
    if (auto may = check(wanted, change); !may) return may.error();
    const auto footage = place_of_footage(wanted, talk);
    if (!footage) return footage.error();

    job::Job to_be;
    to_be.folder = into;
    auto kept = analysis_folder(to_be);
    const Search search{
        {*footage},
        {wanted.song, change.job, change.log, from_folder(into, to_be.out), analysis_path(to_be)},
        into,
        impacts::default_floor,
        kept};
    const auto table = shotlog::new_table();
    const auto clips = find_clips(search, table, talk);
    if (!clips) return clips.error();
    auto found = scan(*clips, search, table, talk);
    tell(kept, talk);
    if (!found) return found.error();
    const auto day = place_in_day(found->clips, table, to_be, talk.stage("comparing the cameras' clocks"));
    if (!day) return day.error();
    tell(*clips, talk);
    tell(*found, talk);
    for (const auto& note : day->notes)
        talk.line(note);
    const auto merged = shotlog::merge(table, found->clips);
    change.clips = found->clips.size();
    change.listened = found->listened;
    change.added = merged.added;
    change.written = true;

    if (auto made = files::make_folder(into.empty() ? "." : into); !made) return made.error();
    files::OutputSet outputs;
    const auto name =
        wanted.name.empty()
            ? fs::path(as_written("/", *footage)).filename().string() // also of "cards/" and "."
            : wanted.name;
    const auto job =
        job::starter_job(as_written(into, wanted.song), {as_written(into, *footage)}, name, cameras_of(*day));
    if (auto added = outputs.add(change.job, job); !added) return added.error();
    if (auto added = outputs.add(change.log, text::write_csv(merged.table)); !added) return added.error();
    if (auto done = outputs.commit(); !done) return done.error();
    return change;
}

} // namespace downball::pipeline
