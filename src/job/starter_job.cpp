// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/sense.h"

#include "downball/base/text.h"
#include "downball/job/job.h"
#include "downball/text/json.h"

namespace downball::job {

using text::Json;
using text::JsonArray;
using text::JsonObject;

namespace {

// The footage folder's name is only a proposal; what no file can be called by is left out of it.
std::string fitting(const std::string& proposed) {
    std::string name;
    for (const char c : proposed)
        name += fits_file_names(std::string("x") + c + "x") ? c : '_';
    while (!name.empty() && !(fits_file_names(name) && valid_utf8(name)))
        name.erase(name.begin());
    return name.empty() ? Job{}.name : name;
}

JsonObject of_cameras(const std::map<std::string, Camera>& cameras) {
    JsonObject all;
    for (const auto& [id, camera] : cameras)
        all.emplace_back(id, JsonObject{{"name", camera.name},
                                        {"clock_offset_s",
                                         camera.clock_offset_s ? Json(*camera.clock_offset_s) : Json()}});
    return all;
}

} // namespace

std::string starter_job(const std::string& song, const std::vector<std::string>& footage,
                        const std::string& name, const std::map<std::string, Camera>& cameras) {
    const Job defaults;
    const Pacing& pacing = defaults.limits.pacing;
    const Variety& variety = defaults.limits.variety;
    const Rally& rally = defaults.limits.rally;

    JsonArray folders;
    for (const std::string& folder : footage)
        folders.push_back(folder);
    JsonObject weights;
    for (const auto& [term, weight] : weight_names())
        weights.emplace_back(term, defaults.limits.weights.*weight);

    return to_text(Json(JsonObject{
        {"downball", 1},
        {"name", fitting(name)},
        {"song", JsonObject{{"file", song},
                            {"start_s", nullptr},
                            {"jump", nullptr},
                            {"licence", ""},
                            {"bpm", nullptr},
                            {"tempo", "found"},
                            {"beat_one_s", nullptr},
                            {"beats_per_bar", nullptr}}},
        {"footage", std::move(folders)},
        {"log", defaults.log},
        {"out", defaults.out},
        {"roster", JsonObject{{"players", JsonObject{}}}},
        {"cameras", of_cameras(cameras)},
        {"delivery", JsonObject{{"rate", to_string(defaults.limits.delivery.rate)},
                                {"drop_frame", false},
                                {"start_timecode", first_label},
                                {"length_s", nullptr}}},
        {"pacing", JsonObject{{"shortest_s", pacing.shortest_s},
                              {"shortest_cutaway_s", pacing.shortest_cutaway_s},
                              {"shortest_slow_s", pacing.shortest_slow_s},
                              {"longest_s", pacing.longest_s},
                              {"lead_in_s", JsonArray{pacing.lead_in_min_s, pacing.lead_in_max_s}},
                              {"tail_s", pacing.tail_s},
                              {"tail_max_s", pacing.tail_max_s},
                              {"handle_frames", pacing.handle_frames},
                              {"cut_on", "beat"}}},
        {"variety", JsonObject{{"players", JsonObject{}},
                               {"skills", JsonObject{}},
                               {"slow_motion_share_max", variety.slow_motion_share_max},
                               {"cutaway_share_max", variety.cutaway_share_max},
                               {"reaction_share_max", variety.reaction_share_max},
                               {"replays", variety.replays},
                               {"confidence_floor", variety.confidence_floor},
                               {"slowest", variety.slowest},
                               {"versions_differ", defaults.versions_differ}}},
        {"rally", JsonObject{{"contacts_max", rally.contacts_max},
                             {"slowest", rally.slowest},
                             {"fastest", rally.fastest}}},
        {"story", JsonObject{{"order", "story"}}},
        {"weights", std::move(weights)},
        {"locks", JsonArray{}},
        {"sound", JsonObject{{"air_temperature_c", defaults.sound.air_temperature_c},
                             {"natural", defaults.sound.natural},
                             {"fade_frames", defaults.sound.fade_frames},
                             {"j_cut_frames", defaults.sound.j_cut_frames},
                             {"l_cut_frames", defaults.sound.l_cut_frames}}},
        {"lists", JsonObject{{"line_end", "crlf"},
                             {"parts", "continued"},
                             {"reels", "from_name"},
                             {"absolute_urls", defaults.lists.absolute_urls}}},
        {"preview", JsonObject{{"shape", "wide"},
                               {"longer_side_px", defaults.preview.longer_side_px},
                               {"loudness_lufs", defaults.preview.loudness_lufs},
                               {"burn_in", defaults.preview.burn_in}}},
        {"analysis",
         JsonObject{{"folder", defaults.analysis.folder}, {"most_mb", defaults.analysis.most_mb}}},
    }));
}

} // namespace downball::job
