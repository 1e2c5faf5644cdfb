// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "analysis/song_text.h"

#include "downball/beats/beat_finder.h"
#include "downball/files/files.h"
#include "downball/media/probe.h"
#include "downball/text/members.h"

#include <algorithm>
#include <fmt/format.h>

namespace downball::analysis {

namespace {

using text::Json;
using text::JsonArray;
using text::JsonObject;
using text::Members;

constexpr int form_version = 1;

// {} writes a double in the shortest form that reads back as the same.
std::string in_words(const SongHints& hints) {
    return fmt::format("bpm {} tempo {} one {} metre {}", hints.bpm.value_or(0),
                       static_cast<int>(hints.tempo), hints.beat_one_s.value_or(-1),
                       hints.beats_per_bar.value_or(0));
}

std::size_t to_index(double number) {
    return static_cast<std::size_t>(std::max(0.0, number));
}

template <std::size_t count>
void append(const std::array<float, count>& numbers, JsonArray& row) {
    for (const float number : numbers)
        row.push_back(static_cast<double>(number));
}

JsonArray textures_to_json(const std::vector<BeatTexture>& textures) {
    JsonArray rows;
    for (const auto& texture : textures) {
        JsonArray row;
        append(texture.tone, row);
        append(texture.level, row);
        rows.push_back(std::move(row));
    }
    return rows;
}

std::vector<BeatTexture> textures_from(Members& members) {
    std::vector<BeatTexture> textures;
    constexpr std::size_t tones = BeatTexture().tone.size(), levels = BeatTexture().level.size();
    for (const auto& row : members.rows("textures", tones + levels)) {
        BeatTexture& texture = textures.emplace_back();
        const auto narrow = [](double number) { return static_cast<float>(number); };
        std::transform(row.begin(), row.begin() + tones, texture.tone.begin(), narrow);
        std::transform(row.begin() + tones, row.end(), texture.level.begin(), narrow);
    }
    return textures;
}

// Sections and phrases are ranges of beats, as the solver takes them at their word.
bool fits(const BeatGrid& grid) {
    const auto within = [&](const auto& part) {
        return part.first <= part.last && part.last <= grid.beats.size();
    };
    const auto earlier = [](const Beat& a, const Beat& b) { return a.seconds < b.seconds; };
    return std::ranges::all_of(grid.sections, within) && std::ranges::all_of(grid.phrases, within) &&
           (!grid.arrival || *grid.arrival < grid.beats.size()) &&
           (grid.textures.empty() || grid.textures.size() == grid.beats.size()) &&
           std::ranges::is_sorted(grid.beats, earlier);
}

} // namespace

Document song_document(const std::string& id, const SongHints& hints) {
    const bool said = hints != SongHints();
    const auto name = said ? id + "-" + files::content_hash(in_words(hints)) : id;
    return {name + ".song.json", "song", {form_version, media::probe_version, beats::tracker_version}};
}

JsonObject to_json(const BeatGrid& grid) {
    JsonArray beats, sections, phrases, others;
    for (const auto& beat : grid.beats)
        beats.push_back(JsonArray{beat.seconds, beat.position, beat.strength, beat.energy, beat.low_end,
                                  beat.loudness_lufs});
    for (const auto& section : grid.sections)
        sections.push_back(JsonArray{section.first, section.last, section.energy, section.confidence});
    for (const auto& phrase : grid.phrases)
        phrases.push_back(JsonArray{phrase.first, phrase.last});
    for (const auto& other : grid.other_tempi)
        others.push_back(JsonArray{other.tempo_bpm, other.likelihood});
    return {{"duration_s", grid.duration_s},
            {"tempo_bpm", grid.tempo_bpm},
            {"other_tempi", std::move(others)},
            {"beats_per_bar", grid.beats_per_bar},
            {"division", grid.division},
            {"steady", grid.steady},
            {"residual_s", grid.residual_s},
            {"confidence", grid.confidence},
            {"downbeat_confidence", grid.downbeat_confidence},
            {"loudness_lufs", grid.loudness_lufs},
            {"sections", std::move(sections)},
            {"phrases", std::move(phrases)},
            {"bars_per_phrase", grid.bars_per_phrase},
            {"phrase_confidence", grid.phrase_confidence},
            {"arrival_beat", grid.arrival ? Json(*grid.arrival) : Json()},
            {"arrival_confidence", grid.arrival_confidence},
            {"beats", std::move(beats)},
            {"textures", textures_to_json(grid.textures)}};
}

std::optional<BeatGrid> grid_from(const Json& found) {
    Members members(found);
    BeatGrid grid;
    grid.duration_s = members.number("duration_s");
    grid.tempo_bpm = members.number("tempo_bpm");
    for (const auto& row : members.rows("other_tempi", 2))
        grid.other_tempi.push_back({row[0], row[1]});
    grid.beats_per_bar = static_cast<int>(members.integer("beats_per_bar"));
    grid.division = static_cast<int>(members.integer("division"));
    grid.steady = members.truth("steady");
    grid.residual_s = members.number("residual_s");
    grid.confidence = members.number("confidence");
    grid.downbeat_confidence = members.number("downbeat_confidence");
    grid.loudness_lufs = members.number("loudness_lufs");
    for (const auto& row : members.rows("sections", 4))
        grid.sections.push_back({to_index(row[0]), to_index(row[1]), row[2], row[3]});
    for (const auto& row : members.rows("phrases", 2))
        grid.phrases.push_back({to_index(row[0]), to_index(row[1])});
    grid.bars_per_phrase = static_cast<int>(members.integer("bars_per_phrase"));
    grid.phrase_confidence = members.number("phrase_confidence");
    if (const auto beat = members.maybe_number("arrival_beat")) grid.arrival = to_index(*beat);
    grid.arrival_confidence = members.number("arrival_confidence");
    for (const auto& row : members.rows("beats", 6))
        grid.beats.push_back({row[0], static_cast<int>(row[1]), row[2], row[3], row[4], row[5]});
    grid.textures = textures_from(members);
    return members.good() && fits(grid) ? std::optional(std::move(grid)) : std::nullopt;
}

} // namespace downball::analysis
