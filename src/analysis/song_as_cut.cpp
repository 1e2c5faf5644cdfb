// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/analysis/song_as_cut.h"

#include "downball/files/files.h"
#include "downball/media/peaks.h"
#include "downball/text/members.h"

#include <filesystem>
#include <fmt/format.h>

namespace downball::analysis {

namespace {

using text::Json;
using text::JsonArray;
using text::JsonObject;
using text::Members;

constexpr int cut_form = 1, peaks_form = 1;

// {} writes a double in the shortest form that reads back as the same.
Document cut_document(const MediaInfo& song, const SongCut& cut, std::int64_t samples) {
    auto recipe = fmt::format("{} samples, crossfade {} in {} out {}", samples, cut.crossfade_s,
                              cut.fade_in_s, cut.fade_out_s);
    for (const auto& piece : cut.pieces)
        recipe += fmt::format(", {} to {}", piece.in_s, piece.out_s);
    return {fmt::format("{}-{}.cut.json", song.id, files::content_hash(recipe)),
            "cut",
            {cut_form, media::cut_song_version}};
}

Document peaks_document(const MediaInfo& song, double from_s, double to_s, std::size_t count) {
    const auto stretch = fmt::format("{} from {} to {}", count, from_s, to_s);
    return {fmt::format("{}-{}.peaks.json", song.id, files::content_hash(stretch)),
            "peaks",
            {peaks_form, media::cut_song_version}};
}

JsonArray to_json(const std::vector<float>& numbers) {
    JsonArray array;
    for (const float number : numbers)
        array.emplace_back(static_cast<double>(number));
    return array;
}

std::vector<float> to_floats(const std::vector<double>& numbers) {
    return {numbers.begin(), numbers.end()};
}

std::optional<media::CutSongFile> cut_song_from(const Json& found, const std::string& standing) {
    Members members(found);
    media::CutSongFile file;
    file.id = members.string("id");
    file.channels = static_cast<int>(members.integer("channels"));
    file.gain_db = members.number("gain_db");
    file.peaks = to_floats(members.numbers("peaks"));
    if (std::error_code problem; !members.good() || !std::filesystem::exists(standing, problem))
        return std::nullopt;
    auto bytes = files::read_text(standing);
    if (!bytes || files::content_hash(*bytes) != members.string("hash")) return std::nullopt;
    file.bytes = std::move(*bytes);
    return file;
}

} // namespace

Result<media::CutSongFile> find_song_as_cut(const MediaInfo& song, const SongCut& cut, std::int64_t samples,
                                            const std::string& standing, Folder& folder,
                                            const LongWork& work) {
    const auto document = cut_document(song, cut, samples);
    if (const auto found = folder.find(document))
        if (auto file = cut_song_from(*found, standing)) return std::move(*file);
    auto file = media::cut_song_file(song, cut, samples, work);
    if (file && !file->broke_off && folder.holds(song.path, song.id))
        folder.keep(document, JsonObject{{"id", file->id},
                                         {"hash", files::content_hash(file->bytes)},
                                         {"channels", file->channels},
                                         {"gain_db", file->gain_db},
                                         {"peaks", to_json(file->peaks)}});
    return file;
}

Result<std::vector<float>> find_song_peaks(const MediaInfo& song, double from_s, double to_s,
                                           std::size_t count, Folder& folder, const LongWork& work) {
    const auto document = peaks_document(song, from_s, to_s, count);
    if (const auto found = folder.find(document)) {
        Members members(*found);
        auto peaks = to_floats(members.numbers("peaks"));
        if (members.good() && peaks.size() == count) return peaks;
    }
    bool broke_off = false;
    auto peaks = media::song_peaks(song, from_s, to_s, count, work, &broke_off);
    if (peaks && !broke_off && folder.holds(song.path, song.id))
        folder.keep(document, JsonObject{{"peaks", to_json(*peaks)}});
    return peaks;
}

} // namespace downball::analysis
