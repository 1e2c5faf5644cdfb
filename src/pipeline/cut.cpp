// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/pipeline/cut.h"

#include "pipeline/gather.h"
#include "pipeline/hazards.h"
#include "pipeline/known_locks.h"
#include "pipeline/last_cut.h"
#include "pipeline/last_outputs.h"
#include "pipeline/place.h"
#include "pipeline/places.h"
#include "pipeline/same_run.h"
#include "pipeline/song_event.h"
#include "pipeline/strangers.h"
#include "pipeline/take_back.h"
#include "pipeline/views.h"
#include "pipeline/warnings.h"

#include "downball/base/text.h"
#include "downball/files/files.h"
#include "downball/pipeline/read_list.h"
#include "downball/solve/last_cut.h"
#include "downball/solve/left_out.h"
#include "downball/solve/solve.h"
#include "downball/timeline/build.h"
#include "downball/write/edl.h"
#include "downball/write/otio.h"
#include "downball/write/report.h"

#include <algorithm>
#include <filesystem>
#include <fmt/format.h>
#include <map>

namespace downball::pipeline {

namespace {

namespace fs = std::filesystem;

// Paths of a job count from its folder, and the lists hold absolute ones.
std::optional<std::pair<std::string, std::string>> media_root(const job::Job& job) {
    if (!job.lists.media_root) return std::nullopt;
    const auto from = fs::absolute(from_folder(job.folder, job.lists.media_root->first));
    return std::pair{from.lexically_normal().string(), job.lists.media_root->second};
}

void warn_of_idle_root(const job::Job& job, const Timeline& timeline, std::vector<Warning>& warnings) {
    const auto root = media_root(job);
    const auto below = [&](const TimelineMedia& media) { return lies_below(root->first, media.path); };
    if (root && std::ranges::none_of(timeline.media, below))
        warnings.push_back(
            fmt::format("lists.media_root changes no link: no file of the cut lies below {}", root->first));
}

// A report that cannot be read is none; whether it may be overwritten is asked later.
std::optional<LastRun> last_run_of(const job::Job& job, std::vector<Warning>& warnings) {
    auto last = read_last_run(output_path(job, ".report.json"));
    if (last) return std::move(*last);
    warnings.push_back("the report of the last cut is not used: " + to_string(last.error()));
    return std::nullopt;
}

struct Texts {
    std::vector<std::pair<std::string, std::string>> files; // path, content; the report last
    std::optional<std::string> preview;                     // path

    // All, in the order to open them; the report last.
    std::vector<std::string> paths() const {
        std::vector<std::string> all;
        for (const auto& [path, content] : files)
            all.push_back(path);
        if (preview) all.insert(all.end() - 1, *preview);
        return all;
    }
};

std::map<std::size_t, std::string> why_by_take(const std::vector<solve::LeftOut>& left_out) {
    std::map<std::size_t, std::string> why;
    for (const auto& take : left_out)
        why.emplace(take.take, take.why);
    return why;
}

Result<Texts> write_all(const Material& material, const SongToCutTo& song, std::optional<SongFile> song_file,
                        const Views& views, const CutPlan& plan, const Timeline& timeline,
                        const std::vector<Warning>& warnings, std::optional<write::FromList> from,
                        const std::vector<solve::LeftOut>& left_out) {
    const auto& job = material.job;
    const auto folder = from_folder(job.folder, job.out);
    const auto at = [&](const std::string& ending) { return output_path(job, ending); };

    Texts texts;
    const auto lists = write::edl(timeline, {.crlf = job.lists.line_end == job::LineEnd::crlf,
                                             .parts_from_start = job.lists.parts_from_start});
    if (!lists) return lists.error();
    for (std::size_t i = 0; i < lists->size(); ++i)
        texts.files.emplace_back(at(lists->size() == 1 ? ".edl" : fmt::format("-part{}.edl", i + 1)),
                                 (*lists)[i]);

    write::OtioOptions options;
    options.folder = fs::absolute(folder).lexically_normal().string();
    options.absolute_urls = job.lists.absolute_urls;
    options.media_root = media_root(job);
    auto otio = write::otio(timeline, options);
    if (!otio) return otio.error();
    texts.files.emplace_back(at(".otio"), std::move(*otio));
    std::optional<write::SongAsCut> told;
    if (song_file) {
        texts.files.emplace_back(song_file->path, std::move(song_file->bytes));
        told = std::move(song_file->told);
    }
    texts.files.emplace_back(at(".html"), views.page);
    if (views.sheet) texts.files.emplace_back(at(sheet_ending), views.sheet->png);

    std::vector<std::pair<std::string, std::string>> hashes;
    std::vector<std::string> paths;
    for (const auto& [path, content] : texts.files) {
        hashes.emplace_back(fs::path(path).filename().string(), files::content_hash(content));
        paths.push_back(path);
    }
    if (const auto& movie = views.movie) {
        hashes.emplace_back(fs::path(movie->path).filename().string(), movie->hash);
        paths.push_back(movie->path);
        texts.preview = movie->path;
    }
    const auto report = at(".report.json");
    texts.files.emplace_back(
        report, write::report({timeline, plan, song.beats, material.log, job.limits, job.song.file,
                               texts_of(warnings), hashes, std::move(told), left_standing(report, paths),
                               std::move(from), why_by_take(left_out)}));
    return texts;
}

CutFigures figures_of(const CutPlan& plan) {
    CutFigures figures{plan.shots.size(), 0, plan.score, plan.limit, plan.gap()};
    for (const auto& shot : plan.shots)
        figures.contacts += shot.anchors.size();
    return figures;
}

struct Prepared {
    Texts texts;
    CutDone done;
};

// One cut, ready to be written. `material` holds the job as this cut has it: its name, its length, what it must
// differ from.
// `from`: an edited list that it is made from; empty = none.
Result<std::variant<Prepared, Conflict>> prepare(const Material& given, const std::string& from,
                                                 const CutOptions& options, analysis::Folder& kept,
                                                 const Talk& talk, LastCut& made, Place& place) {
    const auto song = choose_song(given, options.song);
    if (!song) return song.error();
    std::vector<Warning> warnings;
    const auto last = options.fresh ? std::nullopt : last_run_of(given.job, warnings);
    std::optional<TakenBack> back;
    if (!from.empty()) {
        auto taken = take_back(given, *song, from, last);
        if (!taken) return taken.error();
        back = std::move(*taken);
        for (const auto& line : back->from.told)
            talk.line(line);
    }
    const Material& material = back ? back->material : given;
    const auto& limits = material.job.limits;
    const LastCut* before = back ? &back->cut : last ? &last->cut : nullptr;
    const solve::Problem problem{song->beats, material.log, limits, song->start_s, before};
    auto outcome = solve::solve(problem, talk.stage("choosing shots"));
    if (talk.stop.stop_requested()) return stopped_in_time();
    const auto unknown = strangers(limits.variety, material.log);
    if (auto* conflict = std::get_if<Conflict>(&outcome)) {
        if (back) tell_places_together(*conflict, from);
        conflict->remedies.insert(conflict->remedies.end(), unknown.begin(), unknown.end());
        return std::variant<Prepared, Conflict>{std::move(*conflict)};
    }
    auto& plan = std::get<CutPlan>(outcome);
    if (const auto breaches = solve::check(problem, plan); !breaches.empty())
        return Error{Fault::internal,
                     "the cut that was found breaks limits, so nothing was written: " + join(breaches, "; "),
                     ""};
    made = solve::as_last_cut(problem, plan);

    std::optional<SongFile> song_file;
    if (song->cut) {
        auto file = make_song_file(material, *song->cut, plan.length, kept, talk);
        if (!file) return file.error();
        song_file = std::move(*file);
    }
    auto timeline = timeline::build(
        {plan, song->beats, material.log, limits, song_file ? song_file->media : material.song},
        {.name = material.job.name,
         .natural_sound = material.job.sound.natural,
         .fade_frames = material.job.sound.fade_frames,
         .j_cut_frames = material.job.sound.j_cut_frames,
         .l_cut_frames = material.job.sound.l_cut_frames,
         .reels_from_card = material.job.lists.reels_from_card,
         .folder = fs::current_path().string()});
    if (!timeline) return timeline.error();
    const auto about = warnings_for(material, *song, plan.length);
    warnings.insert(warnings.end(), about.begin(), about.end());
    if (song_file) warnings.insert(warnings.end(), song_file->notes.begin(), song_file->notes.end());
    warnings.insert(warnings.end(), unknown.begin(), unknown.end());
    warnings.insert(warnings.end(), timeline->notes.begin(), timeline->notes.end());
    const auto seen = hazards(*timeline, plan, song->beats, material.log, limits.pacing.handle_frames);
    warnings.insert(warnings.end(), seen.begin(), seen.end());
    warn_of_idle_root(material.job, *timeline, warnings);

    const auto left_out = solve::left_out(problem, plan);
    auto views = make_views(
        {material, kept, *song, song_file ? &*song_file : nullptr, plan, made, *timeline, left_out, {}, ""},
        options, place, warnings, talk);
    if (!views) return views.error();
    auto texts = write_all(material, *song, std::move(song_file), *views, plan, *timeline, warnings,
                           back ? std::optional(back->from) : std::nullopt, left_out);
    if (!texts) return texts.error();
    Prepared prepared{std::move(*texts), {}};
    prepared.done.files = prepared.texts.paths();
    if (views->movie) {
        const auto& made_movie = views->movie->made;
        prepared.done.preview = PreviewFigures{made_movie.frames, made_movie.lufs, made_movie.true_peak_db};
    }
    if (before)
        prepared.done.changes =
            tell_changes(back ? from : "the last cut", *before, made, material.log, limits.delivery);
    prepared.done.figures = figures_of(plan);
    prepared.done.warnings = std::move(warnings);
    return std::variant<Prepared, Conflict>{std::move(prepared)};
}

// The job as each cut has it, but for what it must differ from.
std::vector<job::Job> deliveries(const job::Job& job) {
    if (job.lengths_s.empty()) return {job};
    std::vector<job::Job> each;
    for (const double length_s : job.lengths_s) {
        each.push_back(job);
        each.back().name = fmt::format("{}-{}s", job.name, length_s);
        each.back().limits.delivery.length_s = length_s;
    }
    return each;
}

// Which of the cuts the edited list is of: with several, the one that bears its name.
Result<std::string> taken_back(const std::vector<job::Job>& jobs, const CutOptions& options) {
    if (options.from.empty()) return std::string();
    if (options.from == "-")
        return Error{Fault::usage, "--from reads a file, not the standard input; give the list's path", ""};
    if (options.versions > 1)
        return Error{
            Fault::usage,
            "--from makes one cut from one list: leave --versions out, or make the versions first and "
            "edit one of them",
            ""};
    if (jobs.size() == 1) return jobs.front().name;
    const auto list = read_list(options.from, jobs.front().limits.delivery.rate);
    if (!list) return list.error();
    std::vector<std::string> names;
    for (const auto& job : jobs)
        names.push_back(job.name);
    if (std::ranges::find(names, list->name) != names.end()) return list->name;
    return Error{
        Fault::bad_input,
        fmt::format("the list is called '{}', the cuts of this job {}: call it by the one it is of, or "
                    "set delivery.length_s in place of lengths_s",
                    list->name, join(names, ", ")),
        options.from};
}

// What would let the next version of a cut be made, where those before it were.
std::string closer_versions(const job::Job& job) {
    return fmt::format("versions that may share more: variety.versions_differ below {}; or fewer versions",
                       job.versions_differ);
}

// Files of all cuts appear together or not at all.
Result<void> put_in_place(const std::vector<Texts>& cuts, bool force, Place& place) {
    if (cuts.empty()) return {};
    for (const auto& texts : cuts) {
        auto lists = texts.paths();
        const auto report = lists.back();
        lists.pop_back();
        if (force) continue;
        if (auto allowed = may_overwrite(report, lists); !allowed) return allowed;
    }
    const auto folder = fs::path(cuts.front().files.back().first).parent_path();
    if (auto made = place.make(folder.string()); !made) return made;
    for (const auto& texts : cuts)
        for (const auto& [path, content] : texts.files)
            if (auto added = place.outputs->add(path, content); !added) return added;
    return place.outputs->commit();
}

Result<std::vector<Delivered>> cut_all(job::Job job, const std::string& job_path, const CutOptions& options,
                                       analysis::Folder& kept, const Talk& talk) {
    auto gathered = gather(std::move(job), kept, talk);
    if (!gathered) return gathered.error();
    if (auto known = know_locks(gathered->job.limits.locks, gathered->log, job_file(job_path)); !known)
        return known.error();
    std::vector<Delivered> delivered;
    std::vector<Texts> texts;
    Place place;
    Material material = std::move(*gathered);
    auto jobs = deliveries(material.job);
    const auto from_name = taken_back(jobs, options);
    if (!from_name) return from_name.error();
    for (auto& delivery : jobs) {
        const auto name = delivery.name;
        material.job = std::move(delivery);
        for (int version = 1; version <= options.versions; ++version) {
            if (version > 1) material.job.name = fmt::format("{}-v{}", name, version);
            LastCut made;
            auto prepared =
                prepare(material, name == *from_name ? options.from : "", options, kept, talk, made, place);
            if (!prepared) return prepared.error();
            if (auto* conflict = std::get_if<Conflict>(&*prepared)) {
                if (version > 1) conflict->remedies.push_back(closer_versions(material.job));
                delivered.push_back({material.job.name, std::move(*conflict)});
                break;
            }
            auto& ready = std::get<Prepared>(*prepared);
            material.job.limits.others.push_back(
                solve::differ_from(made, material.job.name, material.job.versions_differ));
            texts.push_back(std::move(ready.texts));
            delivered.push_back({material.job.name, std::move(ready.done)});
        }
    }
    if (auto placed = put_in_place(texts, options.force, place); !placed) return placed.error();
    return delivered;
}

} // namespace

Result<std::vector<Delivered>> cut(const std::string& job_path, const CutOptions& options, const Talk& talk) {
    const auto job = load_job(job_path);
    if (!job) return job.error();
    auto kept = analysis_folder(*job);
    const auto texts = texts_of_run(job_path, *job, options);
    if (texts && !options.fresh)
        if (auto same = same_run(job_path, *texts, kept)) {
            tell(kept, talk);
            return std::move(*same);
        }
    auto delivered = cut_all(*job, job_path, options, kept, talk);
    // What was changed while the cut was made is for the next run.
    const auto now = delivered && texts ? texts_of_run(job_path, *job, options) : std::nullopt;
    if (now && now->hash == texts->hash) remember_run(job_path, *texts, *delivered, kept);
    tell(kept, talk);
    return delivered;
}

} // namespace downball::pipeline
