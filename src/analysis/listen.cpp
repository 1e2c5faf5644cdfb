// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/analysis/listen.h"

#include "analysis/clip_text.h"
#include "analysis/find_in.h"
#include "analysis/read_clip.h"

#include "downball/base/in_order.h"
#include "downball/base/long_work.h"
#include "downball/base/text.h"
#include "downball/media/audio_reader.h"

#include <algorithm>
#include <filesystem>
#include <optional>

namespace downball::analysis {

namespace {

// JSON holds no other text, and what comes back must be what was kept.
bool can_be_written(const ClipFound& clip) {
    const auto& media = clip.media;
    std::vector<std::string> texts{media.device, media.card_reel, media.created.value_or(""), clip.unheard};
    if (media.start) texts.push_back(media.start->label);
    if (clip.hearing) texts.insert(texts.end(), clip.hearing->notes.begin(), clip.hearing->notes.end());
    return std::ranges::all_of(texts, [](const std::string& text) { return valid_utf8(text); });
}

std::optional<ClipFound> known(const Identity& file, Folder& folder) {
    const auto found = folder.find(clip_document(file.id));
    return found ? clip_from(*found) : std::nullopt;
}

// Half a file, a file that grew meanwhile: what they hold is not what their content will hold when they are whole. Who
// has not listened takes nothing away from another who has, in the meantime.
void keep(const Identity& file, const ClipFound& clip, Folder& folder) {
    const bool whole = !clip.media.broke_off && !(clip.hearing && clip.hearing->broke_off);
    if (!whole || clip.doubtful || !can_be_written(clip) || !Folder::stands(file)) return;
    if (const auto other = clip.listened() ? std::nullopt : known(file, folder); !other || !other->listened())
        folder.keep(clip_document(file.id), to_json(clip));
}

// One clip among several. Sound that cannot be used leaves the pictures, if there are any.
void take_in(const std::string& path, bool listen, ClipFound clip, double floor, Surveyed& surveyed) {
    const Error deaf{Fault::bad_input, clip.unheard, path};
    const bool heard = listen && clip.media.audio;
    if (heard && clip.hearing) {
        std::erase_if(clip.hearing->contacts,
                      [&](const Heard& contact) { return contact.confidence < floor; });
        surveyed.heard.emplace(path, std::move(*clip.hearing));
    } else if (heard && !clip.unheard.empty()) {
        if (!clip.media.has_video) {
            surveyed.failed.emplace(path, deaf);
            return;
        }
        surveyed.unheard.emplace(path, deaf);
    }
    surveyed.media.emplace(path, std::move(clip.media));
}

} // namespace

Result<ClipFound> find_in(const Identity& file, bool listen, Folder& folder, const LongWork& work) {
    const auto named = [&](ClipFound clip) {
        clip.media.path = file.path;
        clip.media.name = std::filesystem::path(file.path).filename().string();
        clip.media.id = file.id;
        return clip;
    };
    if (auto clip = known(file, folder); clip && (!listen || clip->listened()))
        return named(std::move(*clip));
    auto read = read_clip(file.path, listen, 0, work);
    if (!read) return read.error();
    auto clip = named(std::move(*read));
    keep(file, clip, folder);
    return clip;
}

Result<Hearing> find_contacts(const std::string& path, double floor, const LongWork& work) {
    auto clip = read_clip(path, true, floor, work);
    if (!clip) return clip.error();
    if (clip->hearing) return std::move(*clip->hearing);
    if (!clip->unheard.empty()) return Error{Fault::bad_input, clip->unheard, path};
    const auto sound = media::AudioReader::open(path);
    return sound ? Error{Fault::internal, "sound was found where there was none", path} : sound.error();
}

Result<ClipFound> find_clip(const std::string& path, bool listen, Folder& folder, const LongWork& work,
                            std::string* kept_at) {
    const auto file = folder.identify(path);
    if (!file) return file.error();
    auto clip = find_in(*file, listen, folder, work);
    if (clip && kept_at) *kept_at = folder.path_of(clip_document(file->id));
    return clip;
}

Result<Surveyed> survey(const std::vector<Wanted>& clips, double floor, Folder& folder,
                        const LongWork& work) {
    Surveyed surveyed;
    std::optional<Error> stopped;
    const auto make = [&](std::size_t i) -> Result<ClipFound> {
        if (work.stop_asked()) return stopped_in_time();
        return find_clip(clips[i].path, clips[i].listen, folder, {{}, work.stop});
    };
    in_order(clips.size(), all_hands(), clips.size(), make, [&](std::size_t i, Result<ClipFound> clip) {
        const auto& path = clips[i].path;
        if (clip) {
            take_in(path, clips[i].listen, std::move(*clip), floor, surveyed);
        } else if (clip.error().fault == Fault::interrupted) {
            stopped = clip.error();
        } else {
            surveyed.failed.emplace(path, clip.error());
        }
        work.report(static_cast<double>(i + 1) / static_cast<double>(clips.size()));
        return !stopped;
    });
    if (stopped || work.stop_asked()) return stopped_in_time();
    return surveyed;
}

} // namespace downball::analysis
