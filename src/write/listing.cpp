// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/write/listing.h"

#include "downball/text/json.h"

#include <fmt/format.h>

namespace downball::write {

using text::Json;
using text::JsonArray;
using text::JsonObject;

std::string beat_lines(const BeatGrid& grid) {
    std::string lines;
    for (const auto& beat : grid.beats)
        lines += fmt::format("{:.6f}\t{}\n", beat.seconds, beat.position);
    return lines;
}

namespace {

// Only what was said.
JsonObject said(const SongHints& hints) {
    JsonObject members;
    if (hints.bpm) members.emplace_back("bpm", *hints.bpm);
    if (hints.tempo != TempoHint::as_found)
        members.emplace_back("tempo", hints.tempo == TempoHint::half ? "half" : "double");
    if (hints.beat_one_s) members.emplace_back("beat_one_s", *hints.beat_one_s);
    if (hints.beats_per_bar)
        members.emplace_back("beats_per_bar", static_cast<std::int64_t>(*hints.beats_per_bar));
    return members;
}

} // namespace

std::string beat_json(const BeatGrid& grid, const std::string& file, const SongHints& hints) {
    JsonArray beats;
    for (const auto& beat : grid.beats)
        beats.push_back(JsonObject{{"seconds", beat.seconds},
                                   {"position", beat.position},
                                   {"strength", beat.strength},
                                   {"energy", beat.energy},
                                   {"low_end", beat.low_end},
                                   {"loudness_lufs", beat.loudness_lufs}});
    JsonArray sections;
    for (const auto& section : grid.sections)
        sections.push_back(JsonObject{{"first_beat", static_cast<std::int64_t>(section.first)},
                                      {"last_beat", static_cast<std::int64_t>(section.last)},
                                      {"energy", section.energy},
                                      {"confidence", section.confidence}});
    JsonArray phrases;
    for (const auto& phrase : grid.phrases)
        phrases.push_back(JsonObject{{"first_beat", static_cast<std::int64_t>(phrase.first)},
                                     {"last_beat", static_cast<std::int64_t>(phrase.last)}});
    JsonArray others;
    for (const auto& other : grid.other_tempi)
        others.push_back(JsonObject{{"tempo_bpm", other.tempo_bpm}, {"likelihood", other.likelihood}});
    return to_text(
        JsonObject{{"downball_beats", 1},
                   {"file", file},
                   {"said", said(hints)},
                   {"duration_s", grid.duration_s},
                   {"tempo_bpm", grid.tempo_bpm},
                   {"other_tempi", std::move(others)},
                   {"beats_per_bar", grid.beats_per_bar},
                   {"division", grid.division},
                   {"steady", grid.steady},
                   {"residual_s", grid.residual_s},
                   {"confidence", grid.confidence},
                   {"low_confidence", grid.confidence < low_confidence},
                   {"downbeat_confidence", grid.downbeat_confidence},
                   {"loudness_lufs", grid.loudness_lufs},
                   {"arrival_beat", grid.arrival ? Json(static_cast<std::int64_t>(*grid.arrival)) : Json()},
                   {"arrival_confidence", grid.arrival_confidence},
                   {"sections", std::move(sections)},
                   {"bars_per_phrase", grid.bars_per_phrase},
                   {"phrase_confidence", grid.phrase_confidence},
                   {"phrases", std::move(phrases)},
                   {"beats", std::move(beats)}});
}

std::string impact_lines(const Hearing& hearing) {
    std::string lines;
    for (const auto& contact : hearing.contacts)
        lines += fmt::format("{:.6f}\t{:.3f}\n", contact.sound_s, contact.confidence);
    return lines;
}

std::string impact_json(const Hearing& hearing, const std::string& file) {
    JsonArray contacts;
    for (const auto& contact : hearing.contacts)
        contacts.push_back(JsonObject{{"seconds", contact.sound_s},
                                      {"confidence", contact.confidence},
                                      {"strength", contact.strength},
                                      {"hard", contact.hard},
                                      {"rally", contact.rally < 0 ? Json() : Json(contact.rally)}});
    JsonArray notes;
    for (const auto& note : hearing.notes)
        notes.push_back(note);
    return to_text(JsonObject{{"downball_impacts", 1},
                              {"file", file},
                              {"contacts", std::move(contacts)},
                              {"crowd", hearing.crowd},
                              {"notes", std::move(notes)}});
}

} // namespace downball::write
