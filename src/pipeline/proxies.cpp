// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/proxies.h"

#include "pipeline/card_files.h"

#include "downball/analysis/listen.h"
#include "downball/base/long_work.h"
#include "downball/base/text.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <filesystem>
#include <map>
#include <optional>
#include <string_view>

namespace downball::pipeline {

namespace {

namespace fs = std::filesystem;

// Common practice, no source.
constexpr std::array<std::string_view, 8> suffixes{"proxy",  "proxies", "prox", "low",
                                                   "lowres", "low_res", "lr",   "sub"};

// The name without ending, case, and a suffix set off by a mark.
std::string plain_stem(const fs::path& path) {
    auto stem = lower(path.stem().string());
    for (const auto suffix : suffixes) {
        if (stem.size() < suffix.size() + 2 || !stem.ends_with(suffix)) continue;
        const char mark = stem[stem.size() - suffix.size() - 1];
        if (mark == '_' || mark == '-' || mark == ' ' || mark == '.')
            return stem.substr(0, stem.size() - suffix.size() - 1);
    }
    return stem;
}

// Cameras that tell copies by their ending begin their names otherwise, and count them alike.
std::string digits(const fs::path& path) {
    auto stem = path.stem().string();
    std::erase_if(stem, [](char c) { return c < '0' || c > '9'; });
    constexpr std::size_t telling = 3;
    return stem.size() < telling ? std::string() : stem;
}

// Some cameras name the copy by the clip and a letter with two digits behind it, C0001 and C0001S03. Empty if the
// stem does not end so.
std::string without_kind(const std::string& stem) {
    const auto digit = [](char c) { return c >= '0' && c <= '9'; };
    const std::size_t n = stem.size();
    if (n < 5 || !digit(stem[n - 1]) || !digit(stem[n - 2]) || !(stem[n - 3] >= 'a' && stem[n - 3] <= 'z'))
        return {};
    return stem.substr(0, n - 3);
}

struct Clip {
    std::string path, folder, stem;
    bool low_copy = false; // by its ending
    bool looked_at = false;
    double duration_s = 0, picture_s = 0; // of one picture
    std::int64_t area = 0;                // pixels; 0 = no pictures, or unreadable
};

enum class Place { apart, near, beside };

Place place_of(const std::string& a, const std::string& b) {
    const auto above_a = fs::path(a).parent_path(), above_b = fs::path(b).parent_path();
    if (a == b || above_a == b || above_b == a) return Place::near;
    return above_a == above_b ? Place::beside : Place::apart;
}

class Finder {
  public:
    Finder(const std::vector<std::string>& paths, analysis::Folder& kept) : kept_(kept) {
        for (const auto& path : paths) {
            const auto full = fs::absolute(path).lexically_normal();
            clips_.push_back(
                {path, full.parent_path().string(), plain_stem(full), card_file(path) == CardFile::low_copy});
        }
        std::map<std::string, std::vector<std::size_t>> by_stem, by_digits;
        for (std::size_t i = 0; i < clips_.size(); ++i) {
            by_stem[clips_[i].stem].push_back(i);
            if (const auto number = digits(paths[i]); !number.empty()) by_digits[number].push_back(i);
        }
        for (const auto& [stem, members] : by_stem)
            pair_up(members, [](const Clip&) { return true; });
        for (const auto& [number, members] : by_digits)
            pair_up(members, [](const Clip& small) { return small.low_copy; });
        for (std::size_t i = 0; i < clips_.size(); ++i)
            if (const auto originals = by_stem.find(without_kind(clips_[i].stem)); originals != by_stem.end())
                for (const auto big : originals->second)
                    if (place_of(clips_[i].folder, clips_[big].folder) != Place::apart)
                        pairs_.push_back({i, big});
    }

    Result<std::set<std::string>> find(const LongWork& work) {
        for (std::size_t n = 0; n < pairs_.size(); ++n) {
            if (work.stop_asked()) return stopped_in_time();
            look_at(clips_[pairs_[n].small], work.stop);
            look_at(clips_[pairs_[n].big], work.stop);
            work.report(static_cast<double>(n + 1) / static_cast<double>(pairs_.size()));
        }
        const auto strangers = strange_folders();
        std::set<std::string> proxies;
        for (const auto& [small, big] : pairs_)
            if (twin(small, big) && !strangers.contains({clips_[small].folder, clips_[big].folder}))
                proxies.insert(clips_[small].path);
        return proxies;
    }

  private:
    struct Pair {
        std::size_t small, big;
    };

    template <class May>
    void pair_up(const std::vector<std::size_t>& members, May may_be_small) {
        for (const auto small : members)
            for (const auto big : members)
                if (small != big && may_be_small(clips_[small]) &&
                    place_of(clips_[small].folder, clips_[big].folder) != Place::apart)
                    pairs_.push_back({small, big});
    }

    void look_at(Clip& clip, const std::stop_token& stop) {
        if (clip.looked_at) return;
        clip.looked_at = true;
        const auto found = analysis::find_clip(clip.path, false, kept_, {{}, stop});
        if (!found || !found->media.has_video) return;
        const MediaInfo& media = found->media;
        clip.duration_s = media.duration_s;
        clip.picture_s = media.average_fps > 0 ? 1 / media.average_fps : 0;
        clip.area = std::int64_t{media.width} * media.height;
    }

    bool twin(std::size_t small, std::size_t big) const {
        const Clip &a = clips_[small], &b = clips_[big];
        constexpr double least_s = 0.1;
        const double off_s = std::max({least_s, a.picture_s, b.picture_s}) + 1e-9;
        return a.area > 0 && 2 * a.area <= b.area && std::abs(a.duration_s - b.duration_s) <= off_s;
    }

    // Pairs of folders, one beside the other, of which the first has a clip with namesakes in the second and no twin.
    std::set<std::pair<std::string, std::string>> strange_folders() const {
        std::map<std::pair<std::size_t, std::string>, bool> has_twin; // by clip and folder of its namesakes
        for (const auto& [small, big] : pairs_) {
            const Clip &a = clips_[small], &b = clips_[big];
            if (a.low_copy || a.area == 0 || b.area == 0) continue;
            if (place_of(a.folder, b.folder) == Place::beside)
                has_twin[{small, b.folder}] |= twin(small, big);
        }
        std::set<std::pair<std::string, std::string>> folders;
        for (const auto& [one, twins] : has_twin)
            if (!twins) folders.insert({clips_[one.first].folder, one.second});
        return folders;
    }

    std::vector<Clip> clips_;
    std::vector<Pair> pairs_;
    analysis::Folder& kept_;
};

} // namespace

Result<std::set<std::string>> find_proxies(const std::vector<std::string>& clips, analysis::Folder& kept,
                                           const LongWork& work) {
    return Finder(clips, kept).find(work);
}

} // namespace downball::pipeline
