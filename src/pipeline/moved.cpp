// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/moved.h"

#include "pipeline/name_search.h"
#include "pipeline/places.h"

#include "downball/base/long_work.h"
#include "downball/base/notes.h"
#include "downball/base/text.h"
#include "downball/media/probe.h"

#include <algorithm>
#include <filesystem>
#include <fmt/format.h>
#include <set>

namespace downball::pipeline {

namespace {

namespace fs = std::filesystem;
using shotlog::LoggedFile;

std::string name_of(const std::string& path) {
    return fs::path(path).filename().string();
}

std::string folder_of(const std::string& path) {
    const auto folder = fs::path(path).parent_path().string();
    return folder.empty() ? "." : folder;
}

// What became of one missing file.
struct Verdict {
    std::vector<std::string> may_be; // paths of what fits
    std::vector<std::string> near;   // what has the name and does not fit, with the reason
};

std::optional<std::string> misfit(const LoggedFile& file, const std::string& path) {
    std::error_code problem;
    const auto bytes = fs::file_size(path, problem);
    if (problem) return "cannot be read";
    if (file.bytes && *file.bytes != bytes) return fmt::format("has {} bytes, not {}", bytes, *file.bytes);
    if (!file.duration_s) return std::nullopt;
    const auto media = media::probe(path, {.id = false});
    if (!media) return "cannot be read";
    if (!shotlog::lasts_as_logged(*file.duration_s, *media))
        return fmt::format("lasts {:.3f} s, not {:.3f} s", media->duration_s, *file.duration_s);
    return std::nullopt;
}

class Finder {
  public:
    Finder(std::span<const LoggedFile> files, const std::string& folder) : folder_(folder) {
        std::error_code ignored;
        std::map<std::string, const LoggedFile*> first; // of the missing, by key
        for (const LoggedFile& file : files) {
            const auto key = file_key(folder, file.file);
            if (fs::exists(from_folder(folder, file.file), ignored))
                logged_.emplace(key, file.line);
            else if (const auto [known, fresh] = first.emplace(key, &file); fresh)
                missing_.push_back(&file);
            else
                again_.emplace_back(&file, known->second);
        }
    }

    const std::vector<const LoggedFile*>& missing() const { return missing_; }

    Result<Moved> find(const NameSearch& names, const std::stop_token& stop) {
        for (const LoggedFile* file : missing_) {
            if (stop.stop_requested()) return stopped_in_time();
            verdicts_.push_back(judge(*file, names.paths(name_of(file->file))));
        }
        for (std::size_t i = 0; i < missing_.size(); ++i)
            for (const auto& path : verdicts_[i].may_be)
                claims_[path].push_back(missing_[i]);
        for (std::size_t i = 0; i < missing_.size(); ++i)
            settle(i);
        for (const auto& [file, first] : again_)
            follow_other_spelling(file->file, first->file);
        return std::move(moved_);
    }

  private:
    std::string written(const std::string& path) const { return as_written(folder_, path); }

    // Names as spelled come first; only if none of them fits, those of another case.
    Verdict judge(const LoggedFile& file, const std::vector<std::string>& paths) const {
        Verdict verdict;
        const auto name = name_of(file.file);
        for (const bool as_spelled : {true, false}) {
            for (const auto& path : paths) {
                if ((name_of(path) == name) != as_spelled) continue;
                const auto logged = logged_.find(file_key("", path));
                const auto why = logged != logged_.end()
                                     ? fmt::format("is the file of line {}", logged->second)
                                 : !valid_utf8(written(path)) ? "the path is no UTF-8, as a log must be"
                                                              : misfit(file, path);
                if (why)
                    verdict.near.push_back(
                        fmt::format("{} lies in {}, but {}", name_of(path), folder_of(written(path)), *why));
                else
                    verdict.may_be.push_back(path);
            }
            if (!verdict.may_be.empty()) break;
        }
        return verdict;
    }

    // Files with one content are as good as one; the first is taken.
    static bool one_content(const std::vector<std::string>& paths) {
        std::set<std::string> ids;
        for (const auto& path : paths) {
            const auto media = media::probe(path);
            ids.insert(media ? media->id : path);
        }
        return ids.size() == 1;
    }

    // Rows that are never used claim nothing.
    const LoggedFile* rival(const LoggedFile& file, const std::string& path) const {
        for (const LoggedFile* other : claims_.at(path))
            if (other != &file && (!other->never || file.never)) return other;
        return nullptr;
    }

    void settle(std::size_t i) {
        const LoggedFile& file = *missing_[i];
        const auto& [may_be, near] = verdicts_[i];
        if (may_be.empty()) {
            moved_.lost[file.file] = some_of(near, 3);
            return;
        }
        const auto place = written(may_be.front());
        if (may_be.size() > 1 && !one_content(may_be)) {
            std::vector<std::string> places;
            for (const auto& path : may_be)
                places.push_back(written(path));
            return doubt(file, fmt::format("it may be one of {}", some_of(places, 6)));
        }
        if (const LoggedFile* other = rival(file, may_be.front()))
            return doubt(file, fmt::format("{} may be this file or that of line {}", place, other->line));
        moved_.found[file.file] = place;
        if (may_be.size() > 1)
            moved_.notes.push_back(fmt::format("{}: {} files elsewhere have its content; {} is taken",
                                               file.file, may_be.size(), place));
        if (!file.bytes && !file.duration_s)
            moved_.notes.push_back(fmt::format("{}: taken for {} by its name alone, as the log tells neither "
                                               "its size nor its length",
                                               place, file.file));
    }

    void doubt(const LoggedFile& file, const std::string& why) {
        moved_.lost[file.file] = why + "; check them, and say in column file which it is";
        if (!file.never)
            moved_.doubtful.push_back(
                fmt::format("line {}, {}: no such file; {}", file.line, file.file, moved_.lost[file.file]));
    }

    // Another way to write a path that is missing already.
    void follow_other_spelling(const std::string& file, const std::string& first) {
        const auto found = moved_.found.find(first);
        if (found != moved_.found.end())
            moved_.found[file] = found->second;
        else
            moved_.lost[file] = moved_.lost[first];
    }

    const std::string& folder_;
    std::map<std::string, int> logged_; // of files that are there: the line, by key
    std::vector<const LoggedFile*> missing_;
    std::vector<std::pair<const LoggedFile*, const LoggedFile*>> again_; // and the first of its spellings
    std::vector<Verdict> verdicts_;                                      // of `missing_`
    std::map<std::string, std::vector<const LoggedFile*>> claims_;       // by path: whose it may be
    Moved moved_;
};

} // namespace

Result<Moved> find_moved(std::span<const LoggedFile> files, const std::string& folder,
                         std::vector<std::string> folders, const std::stop_token& stop) {
    Finder finder(files, folder);
    if (finder.missing().empty()) return Moved{};
    std::vector<std::string> wanted;
    for (const LoggedFile* file : finder.missing())
        wanted.push_back(name_of(file->file));
    NameSearch names(wanted);
    const auto looked_in = names.read(folders, stop);
    if (!looked_in) return stopped_in_time();
    auto moved = finder.find(names, stop);
    if (moved) moved->looked_in = *looked_in;
    return moved;
}

std::string tell_moves(const std::map<std::string, std::string>& found, std::size_t most) {
    std::vector<std::string> moves;
    for (const auto& [from, to] : found)
        moves.push_back(fmt::format("{} ({} -> {})", name_of(from), folder_of(from),
                                    name_of(from) == name_of(to) ? folder_of(to) : to));
    return some_of(moves, most);
}

std::string moved_note(const std::map<std::string, std::string>& found) {
    if (found.empty()) return {};
    constexpr std::size_t most = 6;
    return fmt::format("{} moved since the log was made: {}; `downball log` enters the new {}",
                       found.size() == 1 ? "a file has" : fmt::format("{} files have", found.size()),
                       tell_moves(found, most), found.size() == 1 ? "place" : "places");
}

} // namespace downball::pipeline
