// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/sense.h"

#include "downball/base/text.h"
#include "downball/job/job.h"
#include "downball/text/json.h"

#include <filesystem>
#include <fmt/format.h>

namespace downball::job {
namespace {

using text::Json;

// Each puts a member's value where it belongs if the member is there; the schema has seen to its type.
void take(const Json* from, std::string_view key, double& into) {
    const Json* value = from ? from->find(key) : nullptr;
    if (value) into = value->number();
}

void take(const Json* from, std::string_view key, int& into) {
    const Json* value = from ? from->find(key) : nullptr;
    if (value) into = static_cast<int>(value->integer());
}

void take(const Json* from, std::string_view key, bool& into) {
    const Json* value = from ? from->find(key) : nullptr;
    if (value) into = value->boolean();
}

void take(const Json* from, std::string_view key, std::string& into) {
    const Json* value = from ? from->find(key) : nullptr;
    if (value) into = value->string();
}

template <class T>
void take(const Json* from, std::string_view key, std::optional<T>& into) {
    const Json* value = from ? from->find(key) : nullptr;
    if (!value || value->is_null()) return;
    take(from, key, into.emplace());
}

const text::JsonObject& members(const Json* value) {
    static const text::JsonObject none;
    return value ? value->object() : none;
}

const Json* inside(const Json* value, std::string_view key) {
    return value ? value->find(key) : nullptr;
}

void take_hints(const Json* song, SongHints& hints) {
    take(song, "bpm", hints.bpm);
    std::string tempo = "found";
    take(song, "tempo", tempo);
    hints.tempo = tempo == "half"     ? TempoHint::half
                  : tempo == "double" ? TempoHint::twice
                                      : TempoHint::as_found;
    take(song, "beat_one_s", hints.beat_one_s);
    take(song, "beats_per_bar", hints.beats_per_bar);
}

std::vector<std::string> strings(const Json* from) {
    std::vector<std::string> all;
    if (from)
        for (const Json& one : from->array())
            all.push_back(one.string());
    return all;
}

void take_match(const Json* from, Match& match) {
    match.teams = strings(inside(from, "teams"));
    take(from, "technical_time_out", match.technical_time_out);
    const Json* sets = inside(from, "sets");
    if (!sets) return;
    for (const Json& set : sets->array()) {
        SetStart& start = match.sets.emplace_back();
        take(&set, "left", start.left);
        start.serve = strings(set.find("serve"));
    }
}

void take_names(const Json& root, Job& job) {
    take(&root, "name", job.name);
    take(&root, "log", job.log);
    take(&root, "out", job.out);
    const Json* song = root.find("song");
    take(song, "file", job.song.file);
    take(song, "start_s", job.song.start_s);
    take(song, "jump", job.song.jump);
    take(song, "licence", job.song.licence);
    take_hints(song, job.song.hints);
    for (const Json& folder : root.find("footage")->array())
        job.footage.push_back(folder.string());
    for (const auto& [id, value] : members(inside(root.find("roster"), "players"))) {
        Player& player = job.players[id];
        take(&value, "team", player.team);
        take(&value, "name", player.name);
        if (value.is_string()) player.team = value.string(); // the team alone
    }
    take_match(root.find("match"), job.match);
    for (const auto& [id, value] : members(root.find("cameras"))) {
        Camera& camera = job.cameras[id];
        take(&value, "name", camera.name);
        take(&value, "sound_offset_s", camera.sound_offset_s);
        take(&value, "distance_m", camera.distance_m);
        take(&value, "capture_fps", camera.capture_fps);
        take(&value, "clock_offset_s", camera.clock_offset_s);
        take(&value, "sound_from", camera.sound_from);
    }
}

void take_delivery(const Json* from, Delivery& delivery, Complaints& complaints) {
    if (const Json* rate = inside(from, "rate")) {
        const std::string written = rate->is_string() ? rate->string() : fmt::format("{}", rate->number());
        const auto parsed = parse_rate(written);
        if (!parsed) {
            complaints.add("/delivery/rate", parsed.error().what);
        } else if (!has_timecode(*parsed)) {
            complaints.add("/delivery/rate", no_timecode(*parsed));
        } else {
            delivery.rate = *parsed;
        }
    }
    bool drop = false;
    take(from, "drop_frame", drop);
    if (drop && !complaints.any() && !has_drop_frame(delivery.rate)) {
        complaints.add(
            "/delivery/drop_frame",
            fmt::format("found true at a rate of {}; drop frame exists for 30000/1001 and 60000/1001 only",
                        to_string(delivery.rate)));
    } else if (drop) {
        delivery.counting = Counting::drop;
    }
    if (const Json* label = inside(from, "start_timecode"); !complaints.any()) {
        const auto start = label_in(label ? *label : Json(first_label), delivery);
        if (!start) {
            complaints.add("/delivery/start_timecode", start.error().what);
        } else {
            delivery.start = *start;
        }
    }
    take(from, "length_s", delivery.length_s);
}

void take_lengths(const Json* from, Job& job) {
    if (const Json* lengths = inside(from, "lengths_s"))
        for (const Json& length : lengths->array())
            job.lengths_s.push_back(length.number());
}

void take_pacing(const Json* from, Pacing& pacing) {
    take(from, "shortest_s", pacing.shortest_s);
    take(from, "longest_s", pacing.longest_s);
    if (const Json* lead_in = inside(from, "lead_in_s")) {
        pacing.lead_in_min_s = lead_in->array()[0].number();
        pacing.lead_in_max_s = lead_in->array()[1].number();
    }
    take(from, "shortest_cutaway_s", pacing.shortest_cutaway_s);
    take(from, "shortest_slow_s", pacing.shortest_slow_s);
    take(from, "tail_s", pacing.tail_s);
    take(from, "tail_max_s", pacing.tail_max_s);
    take(from, "handle_frames", pacing.handle_frames);
    std::string cut_on = "beat";
    take(from, "cut_on", cut_on);
    pacing.cut_on = cut_on == "bar" ? CutOn::bar : cut_on == "half_beat" ? CutOn::half_beat : CutOn::beat;
}

Bounds bounds_of(const Json& from) {
    Bounds bounds;
    take(&from, "at_least", bounds.at_least);
    take(&from, "at_most", bounds.at_most);
    return bounds;
}

void take_variety(const Json* from, Variety& variety) {
    for (const auto& [id, bounds] : members(inside(from, "players")))
        variety.players[id] = bounds_of(bounds);
    for (const auto& [word, bounds] : members(inside(from, "skills")))
        variety.skills[*parse_skill(word)] = bounds_of(bounds);
    take(from, "slow_motion_share_max", variety.slow_motion_share_max);
    take(from, "cutaway_share_max", variety.cutaway_share_max);
    take(from, "reaction_share_max", variety.reaction_share_max);
    take(from, "replays", variety.replays);
    take(from, "confidence_floor", variety.confidence_floor);
    take(from, "slowest", variety.slowest);
}

void take_rally(const Json* from, Rally& rally) {
    take(from, "contacts_max", rally.contacts_max);
    take(from, "slowest", rally.slowest);
    take(from, "fastest", rally.fastest);
}

void take_story_and_weights(const Json& root, Limits& limits) {
    std::string order = "story";
    take(root.find("story"), "order", order);
    limits.story.order = order == "free"            ? Order::free
                         : order == "chronological" ? Order::chronological
                                                    : Order::story;
    for (const auto& [name, weight] : weight_names())
        take(root.find("weights"), name, limits.weights.*weight);
}

void take_locks(const Json& root, Limits& limits, Complaints& complaints) {
    const Json* locks = root.find("locks");
    if (!locks) return;
    for (std::size_t i = 0; i < locks->array().size(); ++i) {
        const Json& from = locks->array()[i];
        Lock lock;
        if (from.is_string()) { // the id alone
            lock.shot = from.string();
            limits.locks.push_back(std::move(lock));
            continue;
        }
        take(&from, "shot", lock.shot);
        if (const Json* source = from.find("source_in")) lock.source_in = Frame{source->integer()};
        if (const Json* record = from.find("record_in"); record && record->is_string()) {
            const auto at = label_in(*record, limits.delivery);
            if (!at) {
                complaints.add(fmt::format("/locks/{}/record_in", i), at.error().what);
            } else if (*at < limits.delivery.start) {
                complaints.add(
                    fmt::format("/locks/{}/record_in", i),
                    fmt::format("found {}, which lies before the start timecode; labels count in the cut's "
                                "own timecode",
                                record->string()));
            } else {
                lock.record_in = *at - limits.delivery.start;
            }
        } else if (record) {
            lock.record_in = Frame{record->integer()};
        }
        limits.locks.push_back(std::move(lock));
    }
}

void take_sound_and_lists(const Json& root, Job& job) {
    const Json* sound = root.find("sound");
    take(sound, "air_temperature_c", job.sound.air_temperature_c);
    take(sound, "natural", job.sound.natural);
    take(sound, "fade_frames", job.sound.fade_frames);
    take(sound, "j_cut_frames", job.sound.j_cut_frames);
    take(sound, "l_cut_frames", job.sound.l_cut_frames);
    const Json* lists = root.find("lists");
    std::string line_end = "crlf";
    take(lists, "line_end", line_end);
    job.lists.line_end = line_end == "lf" ? LineEnd::lf : LineEnd::crlf;
    std::string parts = "continued";
    take(lists, "parts", parts);
    job.lists.parts_from_start = parts == "from_start";
    std::string reels = "from_name";
    take(lists, "reels", reels);
    job.lists.reels_from_card = reels == "from_card";
    take(lists, "absolute_urls", job.lists.absolute_urls);
    if (const Json* root_pair = inside(lists, "media_root"))
        job.lists.media_root = {root_pair->find("from")->string(), root_pair->find("to")->string()};
}

void take_preview(const Json* from, PreviewForm& form) {
    std::string shape = "wide";
    take(from, "shape", shape);
    form.shape = shape == "tall"     ? PreviewShape::tall
                 : shape == "square" ? PreviewShape::square
                                     : PreviewShape::wide;
    take(from, "longer_side_px", form.longer_side_px);
    take(from, "loudness_lufs", form.loudness_lufs);
    take(from, "burn_in", form.burn_in);
}

void take_analysis(const Json* from, Analysis& analysis) {
    take(from, "folder", analysis.folder);
    take(from, "most_mb", analysis.most_mb);
}

} // namespace

Result<Job> read_job(std::string_view written, const std::string& path) {
    const auto root = text::parse_json(written, path);
    if (!root) return root.error();
    if (const auto fits = text::validate(*root, "job", path); !fits) return fits.error();

    Job job;
    const std::filesystem::path folder = std::filesystem::path(path).parent_path();
    job.folder = folder.empty() ? std::string(".") : folder.string();
    Complaints complaints;
    take_names(*root, job);
    take_delivery(root->find("delivery"), job.limits.delivery, complaints);
    take_lengths(root->find("delivery"), job);
    take_pacing(root->find("pacing"), job.limits.pacing);
    take_variety(root->find("variety"), job.limits.variety);
    take_rally(root->find("rally"), job.limits.rally);
    take(root->find("variety"), "versions_differ", job.versions_differ);
    take_story_and_weights(*root, job.limits);
    if (!complaints.any()) take_locks(*root, job.limits, complaints);
    take_sound_and_lists(*root, job);
    take_preview(root->find("preview"), job.preview);
    take_analysis(root->find("analysis"), job.analysis);
    check_sense(job, complaints);
    if (complaints.any()) return complaints.error(path);
    return job;
}

} // namespace downball::job
