// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/warnings.h"

#include "downball/base/text.h"

#include <fmt/format.h>

namespace downball::pipeline {

std::vector<Warning> warnings_for(const Material& material, const SongToCutTo& song, Frame length) {
    std::vector<Warning> warnings(material.log.notes.begin(), material.log.notes.end());
    const auto& limits = material.job.limits;
    if (material.beats.confidence < low_confidence)
        warnings.push_back(
            fmt::format("the beats of the song are uncertain (confidence {:.2f}): listen before you "
                        "trust the cut",
                        material.beats.confidence));
    else if (!material.beats.other_tempi.empty() && material.beats.other_tempi.front().likelihood > 0.35 &&
             !material.job.song.hints.bpm)
        warnings.push_back(fmt::format(
            "the song is counted at {:.1f} beats a minute; {:.1f} is as good as likely: if the cut feels too "
            "quick or too slow for the song, say song.bpm",
            material.beats.tempo_bpm, material.beats.other_tempi.front().tempo_bpm));
    if (trim(material.job.song.licence).empty())
        warnings.emplace_back(
            "no note on the song's licence: a reel that is shown needs the rights to the composition "
            "and to the recording; say in song.licence what you have");
    if (limits.delivery.length_s && frame_at(*limits.delivery.length_s, limits.delivery.rate) > length)
        warnings.push_back(
            fmt::format("{:.2f} s were asked for; the song gives {:.2f} s from its start at {:.2f} s",
                        *limits.delivery.length_s, to_seconds(length, limits.delivery.rate),
                        song.cut ? song.cut->pieces.front().in_s : song.start_s));
    warnings.insert(warnings.end(), song.notes.begin(), song.notes.end());
    return warnings;
}

} // namespace downball::pipeline
