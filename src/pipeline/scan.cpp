// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/scan.h"

#include "pipeline/card_files.h"
#include "pipeline/copies.h"
#include "pipeline/places.h"
#include "pipeline/proxies.h"

#include "downball/analysis/listen.h"
#include "downball/base/text.h"

#include <algorithm>
#include <filesystem>
#include <set>

namespace downball::pipeline {

namespace {

namespace fs = std::filesystem;
using Keys = std::set<std::string>; // of files, see file_key

// Files whose every row has been listened to need no second hearing.
Keys already_heard(const text::CsvTable& table, const std::string& folder) {
    const int file = table.column("file"), contacts = table.column("contacts");
    Keys heard, open;
    if (file < 0 || contacts < 0) return heard;
    for (const auto& row : table.rows) {
        const std::string written(trim(row[static_cast<std::size_t>(file)]));
        const bool empty = trim(row[static_cast<std::size_t>(contacts)]).empty();
        (empty ? open : heard).insert(file_key(folder, written));
    }
    for (const auto& path : open)
        heard.erase(path);
    return heard;
}

// Song, log and outputs are no footage, even where they lie among it. Footage that lies among the outputs is.
class Own {
  public:
    explicit Own(const Search& search) {
        for (const auto& path : search.own)
            own_.insert(file_key("", path));
        for (const auto& path : search.footage)
            footage_.insert(file_key("", path));
    }
    bool has(const std::string& path) const {
        const auto key = file_key("", path);
        return std::ranges::any_of(own_, [&](const std::string& own) {
            if (key == own) return true;
            return lies_below(own, key) && std::ranges::none_of(footage_, [&](const std::string& folder) {
                       return (folder == own || lies_below(own, folder)) &&
                              (folder == key || lies_below(folder, key));
                   });
        });
    }

  private:
    Keys own_, footage_;
};

// What lies in the footage folders without the job's own files and what the log has already; several ways to one file
// are one.
Result<CardFiles> new_files(const Search& search, const std::vector<std::string>& logged) {
    auto files = files_below(search.footage);
    if (!files) return files.error();
    const Own own(search);
    Keys seen;
    for (const auto& path : logged)
        seen.insert(file_key("", path));
    for (auto* paths : {&files->clips, &files->photos, &files->sidecars, &files->others})
        std::erase_if(*paths, [&](const std::string& path) {
            return own.has(path) || !seen.insert(file_key("", path)).second;
        });
    return files;
}

// Files that rows name are clips wherever they lie.
std::vector<std::string> logged_clips(const text::CsvTable& log, const std::string& folder) {
    std::vector<std::string> clips;
    Keys known;
    std::error_code ignored;
    for (const auto& logged : shotlog::logged_files(log)) {
        const auto path = from_folder(folder, logged.file);
        if (fs::is_regular_file(path, ignored) && known.insert(file_key("", path)).second)
            clips.push_back(path);
    }
    return clips;
}

Error no_clips(const Search& search, const std::string& skipped) {
    return {
        Fault::bad_input,
        "no clips here; expected video or sound files such as .mp4, .mov, .mts or .wav below this folder" +
            (skipped.empty() ? "" : " (found " + skipped + ")"),
        search.footage.empty() ? "footage" : search.footage.front()};
}

// A name that is no UTF-8 no log could hold.
std::vector<analysis::Wanted> to_be_heard(const std::vector<std::string>& clips, const Search& search,
                                          const Keys& heard, std::vector<std::string>& left_out) {
    std::vector<analysis::Wanted> wanted;
    for (const auto& path : clips) {
        const auto written = as_written(search.folder, path);
        if (valid_utf8(written))
            wanted.push_back({path, !heard.contains(file_key(search.folder, written))});
        else
            left_out.push_back(path + ": this name is no UTF-8; rename the file, or the folder it is in");
    }
    return wanted;
}

void take_in(const analysis::Surveyed& surveyed, const std::string& path, const std::string& written,
             Scan& result) {
    if (const auto failure = surveyed.failed.find(path); failure != surveyed.failed.end()) {
        result.left_out.push_back(to_string(failure->second));
        return;
    }
    shotlog::FoundClip clip{written, surveyed.media.at(path), std::nullopt};
    if (const auto hearing = surveyed.heard.find(path); hearing != surveyed.heard.end()) {
        for (const auto& note : hearing->second.notes)
            result.notes.push_back(clip.file + ": " + note);
        clip.hearing = hearing->second;
        ++result.listened;
    } else if (const auto deaf = surveyed.unheard.find(path); deaf != surveyed.unheard.end()) {
        result.notes.push_back(to_string(deaf->second));
    }
    result.clips.push_back(std::move(clip));
}

} // namespace

// A file that a row names is never left out, whatever it is.
Result<CardClips> find_clips(const Search& search, const text::CsvTable& log, const Talk& talk) {
    CardClips found;
    found.logged = logged_clips(log, search.folder);
    auto files = new_files(search, found.logged);
    if (!files) return files.error();

    auto known = found.logged;
    known.insert(known.end(), search.own.begin(),
                 search.own.end()); // a copy of the song is no footage either
    const auto copies = find_copies(known, files->clips, search.kept, talk.stage("looking for copies"));
    if (!copies) return copies.error();
    std::erase_if(files->clips, [&](const std::string& path) { return copies->contains(path); });
    if (auto told = tell_copies(*copies, search.folder); !told.empty())
        found.notes.push_back(std::move(told));

    auto all = found.logged;
    all.insert(all.end(), files->clips.begin(), files->clips.end());
    const auto proxies = find_proxies(all, search.kept, talk.stage("looking for proxies"));
    if (!proxies) return proxies.error();
    const auto skipped =
        std::erase_if(files->clips, [&](const std::string& path) { return proxies->contains(path); });
    found.skipped = tell_skipped(*files, skipped);
    found.fresh = std::move(files->clips);
    if (found.logged.empty() && found.fresh.empty()) return no_clips(search, found.skipped);
    return found;
}

Result<Scan> scan(const CardClips& clips, const Search& search, const text::CsvTable& log, const Talk& talk) {
    auto paths = clips.logged;
    paths.insert(paths.end(), clips.fresh.begin(), clips.fresh.end());
    Scan result;
    const auto wanted = to_be_heard(paths, search, already_heard(log, search.folder), result.left_out);
    const auto surveyed =
        analysis::survey(wanted, search.floor, search.kept, talk.stage("listening to the clips"));
    if (!surveyed) return surveyed.error();
    for (const auto& one : wanted)
        take_in(*surveyed, one.path, as_written(search.folder, one.path), result);
    if (result.clips.empty())
        return Error{Fault::bad_input, "none of the clips here can be read:\n" + join(result.left_out, "\n"),
                     search.footage.empty() ? "footage" : search.footage.front()};
    return result;
}

void tell(const CardClips& clips, const Talk& talk) {
    if (!clips.skipped.empty()) talk.line("skipped: " + clips.skipped);
    for (const auto& note : clips.notes)
        talk.line(note);
}

void tell(const Scan& found, const Talk& talk) {
    for (const auto& file : found.left_out)
        talk.line("left out: " + file);
    for (const auto& note : found.notes)
        talk.line(note);
}

} // namespace downball::pipeline
