// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/views.h"

#include "pipeline/last_outputs.h"
#include "pipeline/places.h"
#include "pipeline/sheet.h"

#include <filesystem>
#include <fmt/format.h>

namespace downball::pipeline {

namespace {

namespace fs = std::filesystem;

// What would be refused in the end is refused before the work.
Result<void> may_write(const CutToReview& cut, const CutOptions& options) {
    const auto& job = cut.material.job;
    std::vector<std::string> paths;
    for (const char* ending : {".edl", ".otio", ".html"})
        paths.push_back(output_path(job, ending));
    if (cut.song_file) paths.push_back(cut.song_file->path);
    if (options.preview) paths.push_back(output_path(job, ".mp4"));
    if (options.sheet) paths.push_back(output_path(job, sheet_ending));
    return may_overwrite(output_path(job, ".report.json"), paths);
}

Result<PreviewFile> render_in(Place& place, const job::Job& job, const Timeline& timeline,
                              const std::string* song_bytes, const Talk& talk) {
    if (auto made = place.make(from_folder(job.folder, job.out)); !made) return made.error();
    return render_preview(timeline, output_path(job, ".mp4"), job.preview, song_bytes, *place.outputs, talk);
}

// Of a file that an earlier run made and this one does not. By its name: the page may go to others, and is the same
// wherever the program was started.
void tell_old(const job::Job& job, const std::string& ending, const std::string& option,
              std::vector<Warning>& warnings) {
    const auto path = output_path(job, ending);
    if (stands_as_written(output_path(job, ".report.json"), path))
        warnings.push_back(fmt::format("{} is of an earlier run; {} makes it anew",
                                       fs::path(path).filename().string(), option));
}

} // namespace

Result<Views> make_views(CutToReview cut, const CutOptions& options, Place& place,
                         std::vector<Warning>& warnings, const Talk& talk) {
    const auto& job = cut.material.job;
    if (!options.force)
        if (auto allowed = may_write(cut, options); !allowed) return allowed.error();
    Views views;
    if (options.preview) {
        auto rendered =
            render_in(place, job, cut.timeline, cut.song_file ? &cut.song_file->bytes : nullptr, talk);
        if (!rendered) return rendered.error();
        views.movie = std::move(*rendered);
        cut.movie = fs::path(views.movie->path).filename().string();
        warnings.insert(warnings.end(), views.movie->made.notes.begin(), views.movie->made.notes.end());
    } else
        tell_old(job, ".mp4", "--preview", warnings);
    if (options.sheet) {
        auto drawn = preview::contact_sheet(cut.timeline, sheet_texts(cut.material, cut.plan, cut.timeline),
                                            talk.stage("contact sheet"));
        if (!drawn) return drawn.error();
        views.sheet = std::move(*drawn);
        warnings.insert(warnings.end(), views.sheet->notes.begin(), views.sheet->notes.end());
    } else
        tell_old(job, sheet_ending, "--sheet", warnings);
    cut.warnings = warnings;
    auto page = make_review(cut, options.stills, talk);
    if (!page) return page.error();
    warnings.insert(warnings.end(), page->notes.begin(), page->notes.end());
    views.page = std::move(page->html);
    return views;
}

} // namespace downball::pipeline
