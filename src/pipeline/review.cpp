// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/review.h"

#include "pipeline/footage_to_cover.h"
#include "pipeline/page_stills.h"

#include "downball/analysis/song_as_cut.h"
#include "downball/coverage/coverage.h"
#include "downball/media/peaks.h"
#include "downball/page/page.h"

#include <filesystem>

namespace downball::pipeline {

Result<Review> make_review(const CutToReview& cut, bool decode, const Talk& talk) {
    const auto& job = cut.material.job;
    std::vector<float> waveform;
    if (cut.song_file)
        waveform = cut.song_file->peaks;
    else {
        const double length_s = to_seconds(cut.timeline.length, cut.timeline.rate);
        auto peaks =
            analysis::find_song_peaks(cut.material.song, cut.song.start_s, cut.song.start_s + length_s,
                                      media::drawn_peaks, cut.kept, talk.stage("drawing the song"));
        if (!peaks) return peaks.error();
        waveform = std::move(*peaks);
    }
    auto stills = page_stills(cut.timeline, decode, cut.kept, talk);
    if (!stills) return stills.error();
    Review review;
    if (cut.movie.empty()) review.notes = {stills->notes.begin(), stills->notes.end()};
    const auto covered = coverage::cover(footage_to_cover(job, cut.material.log, &cut.as_last));
    page::PageInput input{cut.timeline, cut.plan, cut.song.beats, cut.material.log, job.limits, covered};
    input.song = std::filesystem::path(job.song.file).filename().string();
    for (const auto& [id, player] : job.players)
        input.names.emplace(id, player.name);
    input.warnings = cut.warnings;
    input.warnings.insert(input.warnings.end(), review.notes.begin(), review.notes.end());
    input.left_out = cut.left_out;
    input.stills = std::move(stills->pictures);
    input.waveform = std::move(waveform);
    input.movie = cut.movie;
    review.html = page::review_page(input);
    return review;
}

} // namespace downball::pipeline
