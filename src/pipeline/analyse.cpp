// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/pipeline/analyse.h"

#include "pipeline/card_files.h"

#include "downball/analysis/listen.h"
#include "downball/base/in_order.h"
#include "downball/base/long_work.h"

#include <cstdint>
#include <limits>
#include <optional>

namespace downball::pipeline {

namespace {

// Enough that one long clip does not keep the other hands idle.
std::size_t clips_ahead() {
    return 16 * all_hands();
}

std::vector<std::string> part_of(const std::vector<std::string>& clips, Shard shard) {
    std::vector<std::string> part;
    for (std::size_t i = shard.number - 1; i < clips.size(); i += shard.of)
        part.push_back(clips[i]);
    return part;
}

// A clip that gets no file though files can be written.
std::string why_not_kept(const analysis::ClipFound& clip) {
    if (clip.media.broke_off || (clip.hearing && clip.hearing->broke_off))
        return "no analysis of it is kept, as it cannot be read to its end: copy it again from the card";
    if (clip.doubtful)
        return "no analysis of it is kept, as some of its sound is lost, or cannot be decoded here";
    return "no analysis of it is kept: it changed meanwhile, its tags are no UTF-8, or one of a newer "
           "version stands there";
}

std::vector<std::string> notes_of(const analysis::ClipFound& clip) {
    if (!clip.hearing && clip.media.broke_off) return {};
    if (!clip.unheard.empty()) return {clip.unheard};
    return clip.hearing ? clip.hearing->notes : std::vector<std::string>{"it has no sound"};
}

} // namespace

Result<void> analyse(const ToAnalyse& wanted, const std::function<void(Result<Analysed>)>& take,
                     const Talk& talk) {
    const auto files = files_below(wanted.clips);
    if (!files) return files.error();
    if (files->clips.empty())
        return Error{Fault::bad_input,
                     "no clips here; expected video or sound files such as .mp4, .mov, .mts or .wav",
                     wanted.clips.front()};
    const auto clips = part_of(files->clips, wanted.shard);
    // Other parts put their files beside these, and only a job knows how large its folder may grow: none is dropped.
    analysis::Folder folder(wanted.folder, std::numeric_limits<std::uint64_t>::max());
    const auto work = talk.stage("listening to the clips");
    const auto make = [&](std::size_t i) -> Result<Analysed> {
        if (talk.stop.stop_requested()) return stopped_in_time();
        Analysed one{clips[i], "", {}};
        const auto found = analysis::find_clip(clips[i], true, folder, {{}, talk.stop}, &one.document);
        if (!found) return found.error();
        one.notes = notes_of(*found);
        if (one.document.empty() && !folder.write_problem()) one.notes.push_back(why_not_kept(*found));
        return one;
    };
    bool stopped = false;
    in_order(clips.size(), all_hands(), clips_ahead(), make, [&](std::size_t i, Result<Analysed> one) {
        stopped = !one && one.error().fault == Fault::interrupted;
        if (!stopped) take(std::move(one));
        work.report(static_cast<double>(i + 1) / static_cast<double>(clips.size()));
        return !stopped && !folder.write_problem();
    });
    const auto notes = folder.close();
    if (const auto problem = folder.write_problem()) return *problem; // which the notes tell too
    for (const auto& note : notes)
        talk.line("note: " + note);
    if (stopped) return Error{Fault::interrupted, "stopped on request; what is done is kept", ""};
    return {};
}

void find_contacts(const std::vector<std::string>& clips, double floor,
                   const std::function<bool(const std::string& clip, Result<Hearing>)>& take,
                   const Talk& talk) {
    const auto work = talk.stage("listening to the clips");
    const auto make = [&](std::size_t i) {
        return analysis::find_contacts(clips[i], floor, {{}, talk.stop});
    };
    in_order(clips.size(), all_hands(), clips_ahead(), make, [&](std::size_t i, Result<Hearing> hearing) {
        const bool stopped = !hearing && hearing.error().fault == Fault::interrupted;
        work.report(static_cast<double>(i + 1) / static_cast<double>(clips.size()));
        return take(clips[i], std::move(hearing)) && !stopped;
    });
}

} // namespace downball::pipeline
