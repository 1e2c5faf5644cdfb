// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/analysis/folder.h"
#include "downball/analysis/found.h"
#include "downball/base/long_work.h"
#include "downball/base/result.h"
#include "downball/model/song_hints.h"

#include <functional>
#include <map>
#include <string>
#include <vector>

namespace downball::analysis {

// Beats of a song file, media seconds. Errors are of the file: not there, no sound, shorter than 2 s, a beat
// one outside its sound.
Result<BeatGrid> find_beats(const std::string& path, const SongHints& hints = {}, const LongWork& work = {});

// The same, with what the file says of itself, from the folder where it was found before.
Result<SongFound> find_song(const std::string& path, const SongHints& hints, Folder& folder,
                            const LongWork& work = {});

// Contacts in one clip, media seconds, from confidence `floor` up (0 = every candidate). The notes tell where
// there was no sound to listen to: lost packets, silence, pictures before the sound begins or after it ends.
Result<Hearing> find_contacts(const std::string& path, double floor, const LongWork& work = {});

// All that can be found in a clip, from the folder where it was found before; with `listen` false only what the file
// says of itself. Errors: neither pictures nor sound can be used. What `kept_at` points to gets the name of its
// document in the folder; empty where it was not kept.
Result<ClipFound> find_clip(const std::string& path, bool listen, Folder& folder, const LongWork& work = {},
                            std::string* kept_at = nullptr);

// What several clips turned out to be.
struct Surveyed {
    std::map<std::string, MediaInfo> media; // by the path asked for
    std::map<std::string, Hearing> heard;   // of those that were listened to
    std::map<std::string, Error> unheard;   // pictures that can be used, sound that cannot be listened to
    std::map<std::string, Error> failed;    // neither can be used
};

struct Wanted {
    std::string path;
    bool listen = true; // a clip without sound is not listened to, whatever this says
};

// Probes and listens to clips on all cores; what comes back does not depend on their number, nor on what the folder has
// of them. A file that fails stops nothing. Contacts come from confidence `floor` up, at most impacts::default_floor.
Result<Surveyed> survey(const std::vector<Wanted>& clips, double floor, Folder& folder,
                        const LongWork& work = {});

} // namespace downball::analysis
