// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/pipeline/coverage.h"

#include "pipeline/footage_to_cover.h"
#include "pipeline/gather.h"
#include "pipeline/last_cut.h"
#include "pipeline/places.h"

#include <filesystem>
#include <fmt/format.h>
#include <optional>

namespace downball::pipeline {
namespace {

std::optional<LastCut> last_cut_of(const job::Job& job, std::vector<std::string>& notes) {
    std::vector<std::string> names;
    if (job.lengths_s.empty()) names.push_back(job.name);
    for (const double length_s : job.lengths_s)
        names.push_back(fmt::format("{}-{}s", job.name, length_s));
    for (const auto& name : names) {
        const auto path = std::filesystem::path(from_folder(job.folder, job.out)) / (name + ".report.json");
        auto run = read_last_run(path.string());
        if (!run)
            notes.push_back("the report of the last cut is not used: " + to_string(run.error()));
        else if (*run)
            return std::move((*run)->cut);
    }
    return std::nullopt;
}

} // namespace

coverage::Footage footage_to_cover(const job::Job& job, const ShotLog& log, const LastCut* cut) {
    coverage::Footage footage{log, job.limits, {}, {}, cut};
    for (const auto& [id, player] : job.players)
        footage.roster.emplace(id, player.team);
    for (const auto& [id, camera] : job.cameras)
        if (!camera.name.empty()) footage.places.emplace(id, camera.name);
    return footage;
}

Result<Covered> cover(const std::string& job_path, const Talk& talk) {
    const auto job = load_job(job_path);
    if (!job) return job.error();
    auto kept = analysis_folder(*job);
    const auto log = gather_log(*job, kept, talk, Missing::keep);
    tell(kept, talk);
    if (!log) return log.error();
    Covered covered{job->name, {}, job->match, log->notes};
    const auto cut = last_cut_of(*job, covered.notes);
    covered.coverage = coverage::cover(footage_to_cover(*job, *log, cut ? &*cut : nullptr));
    return covered;
}

} // namespace downball::pipeline
