// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "documents.h"

#include "song.h"

#include <array>
#include <fmt/format.h>

namespace downball::sample {
namespace {

bool tagged(const Take& take, const TakeContact& c) {
    return c.visible && c.sound_s >= take.in_s && c.picture_s < take.out_s;
}

std::string joined(const std::vector<std::string>& words) {
    std::string out;
    for (const std::string& w : words)
        out.append(out.empty() ? "" : " ").append(w);
    return out;
}

std::string cell(const std::string& text) {
    return text.find_first_of(",\"\n") == std::string::npos ? text : fmt::format("\"{}\"", text);
}

} // namespace

std::vector<std::string> tagged_players(const Take& take) {
    std::vector<std::string> out;
    const auto once = [&](int player) {
        const std::string id(id_of_player(player));
        if (std::find(out.begin(), out.end(), id) == out.end()) out.push_back(id);
    };
    for (const TakeContact& c : take.contacts)
        if (tagged(take, c)) once(c.player);
    for (const int player : take.players)
        once(player);
    return out;
}

std::vector<TakeContact> tagged_contacts(const Take& take) {
    std::vector<TakeContact> out;
    for (std::size_t i = 0; i < take.contacts.size(); ++i) {
        const TakeContact& c = take.contacts[i];
        if (!tagged(take, c)) continue;
        // Attack and block are heard as one. A closer take is filed under its block, a wide one under the
        // attack as well; the silent one has a mark for each.
        const bool blocked = i + 1 < take.contacts.size() && take.contacts[i + 1].skill == Skill::block;
        if (blocked && take.size != "wide" && take.sound != TakeSound::none) continue;
        out.push_back(c);
    }
    return out;
}

std::string log_csv(const Scenario& scenario) {
    std::string out = "id,file,reel,camera,kind,players,skills,size,angle,side,rating,in,out,contacts,marks,"
                      "distance_m,capture_fps,moment,set,score,use,note\n";
    for (const Take& t : scenario.takes) {
        std::vector<std::string> skills, marks;
        for (const TakeContact& c : tagged_contacts(t))
            skills.emplace_back(word_of(c.skill));
        if (t.sound == TakeSound::none)
            for (const TakeContact& c : t.contacts)
                if (tagged(t, c)) marks.push_back(fmt::format("{:.3f}", c.picture_s));
        const double whole = t.frames() / static_cast<double>(t.rate);
        const bool action = t.kind == "action";
        const std::vector<std::string> cells{t.id,
                                             t.file,
                                             t.reel,
                                             std::string(1, t.camera),
                                             t.kind,
                                             joined(tagged_players(t)),
                                             joined(skills),
                                             t.size,
                                             t.angle,
                                             t.side,
                                             std::to_string(t.rating),
                                             t.in_s > 0 ? fmt::format("{:.2f}", t.in_s) : "",
                                             t.out_s < whole - 1e-9 ? fmt::format("{:.2f}", t.out_s) : "",
                                             "",
                                             joined(marks),
                                             action ? fmt::format("{:.1f}", t.distance_m) : "",
                                             t.capture != t.rate ? std::to_string(t.capture) : "",
                                             t.moment,
                                             t.set > 0 ? std::to_string(t.set) : "",
                                             t.set > 0 ? fmt::format("{}-{}", t.a, t.b) : "",
                                             t.use,
                                             t.note};
        for (std::size_t i = 0; i < cells.size(); ++i)
            out.append(i == 0 ? "" : ",").append(cell(cells[i]));
        out += "\n";
    }
    return out;
}

std::string job_json(const Scenario& scenario) {
    return fmt::format(R"({{
  "downball": 1,
  "name": "larkhaven",
  "song": {{"file": "song.wav", "start_s": 0, "licence": "own composition, made by the sample's generator"}},
  "footage": ["footage"],
  "log": "log.csv",
  "out": "out",
  "roster": {{
    "players": {{"A1": "Terns", "A2": "Terns", "B1": "Gulls", "B2": "Gulls"}}
  }},
  "cameras": {{
    "A": {{"name": "side line, tripod", "distance_m": 15}},
    "B": {{"name": "at the net, shoulder", "distance_m": 10}},
    "C": {{"name": "high speed, long lens", "distance_m": 11}}
  }},
  "delivery": {{"rate": "25", "drop_frame": false, "start_timecode": "01:00:00:00", "length_s": 60}},
  "pacing": {{
    "shortest_s": 0.3333,
    "longest_s": 4,
    "lead_in_s": [0.083, 0.333],
    "tail_s": 0.2,
    "handle_frames": 0,
    "cut_on": "beat"
  }},
  "variety": {{
    "players": {{
      "A1": {{"at_least": 3}},
      "A2": {{"at_least": 3}},
      "B1": {{"at_least": 3}},
      "B2": {{"at_least": 3}}
    }},
    "skills": {{
      "serve": {{"at_least": 2}},
      "pass": {{"at_least": 1}},
      "set": {{"at_least": 1}},
      "attack": {{"at_least": 4}},
      "block": {{"at_least": 2}},
      "dig": {{"at_least": 1}}
    }},
    "slow_motion_share_max": 0.25,
    "cutaway_share_max": 0.3,
    "reaction_share_max": 0.3,
    "replays": false,
    "confidence_floor": 0.5,
    "slowest": 0.2
  }},
  "story": {{"order": "story"}},
  "sound": {{"air_temperature_c": {:g}, "natural": true, "fade_frames": 2}}
}}
)",
                       scenario.air_temperature_c);
}

std::string truth_json(const Scenario& scenario) {
    std::string out = fmt::format("{{\n  \"song\": {{\n    \"bpm\": {:g},\n    \"beats\": [", song_bpm);
    for (int beat = 0; beat <= 4 * song_bars(); ++beat)
        out += fmt::format("{}\n      {{\"s\": {:.6f}, \"position\": {}}}", beat == 0 ? "" : ",",
                           song_beat_s(beat), beat % 4 + 1);
    out += "\n    ],\n    \"sections\": [";
    bool first = true;
    for (const SongSection& s : song_sections()) {
        out += fmt::format("{}\n      {{\"name\": \"{}\", \"start_s\": {:.6f}, \"end_s\": {:.6f}}}",
                           first ? "" : ",", s.name, song_beat_s(4.0 * s.first_bar),
                           song_beat_s(4.0 * (s.first_bar + s.bars)));
        first = false;
    }
    out += "\n    ]\n  },\n  \"cameras\": {";
    for (const char camera : {'A', 'B', 'C'})
        out += fmt::format("{}\n    \"{}\": {{\"clock_ahead_s\": {:g}}}", camera == 'A' ? "" : ",", camera,
                           clock_ahead_s(camera));
    out += "\n  },\n  \"clips\": {";
    first = true;
    for (const Take& t : scenario.takes) {
        out += fmt::format("{}\n    \"{}\": {{\"take\": \"{}\", \"clip\": {}, \"rate\": \"{}\", \"frames\": "
                           "{}, \"capture_fps\": {}, \"kind\": \"{}\", \"moment\": \"{}\", "
                           "\"music\": {}, \"contacts\": [",
                           first ? "" : ",", t.file, t.id, t.number, t.rate, t.frames(), t.capture, t.kind,
                           t.moment, t.music);
        first = false;
        bool first_contact = true;
        for (const TakeContact& c : t.contacts) {
            out += fmt::format(
                "{}\n      {{\"picture_s\": {:.6f}, \"sound_s\": {}, \"skill\": \"{}\", \"player\": \"{}\", "
                "\"visible\": {}, \"level_db_snr\": {}}}",
                first_contact ? "" : ",", c.picture_s,
                t.sound == TakeSound::none ? "null" : fmt::format("{:.6f}", c.sound_s), word_of(c.skill),
                id_of_player(c.player), c.visible,
                t.sound == TakeSound::none ? "null" : fmt::format("{:.1f}", c.snr_db));
            first_contact = false;
        }
        out += "], \"ball_on_sand_s\": [";
        for (std::size_t i = 0; i < t.other_thuds.size(); ++i)
            out += fmt::format("{}{:.6f}", i == 0 ? "" : ", ", t.other_thuds[i]);
        out += "]}";
    }
    return out + "\n  }\n}\n";
}

std::vector<std::string> broken_promises(const Scenario& scenario) {
    std::vector<std::string> broken;
    const auto must = [&](bool kept, std::string what) {
        if (!kept) broken.push_back(std::move(what));
    };
    must(scenario.takes.size() >= 40, fmt::format("at least 40 takes, found {}", scenario.takes.size()));
    bool seen[player_count][skill_count] = {};
    bool cameras['C' + 1] = {};
    std::array<int, 121> rates{};
    int silent = 0, late = 0, music = 0;
    for (const Take& t : scenario.takes) {
        cameras[static_cast<int>(t.camera)] = true;
        ++rates[static_cast<std::size_t>(t.capture)];
        silent += t.sound == TakeSound::none;
        late += t.sound == TakeSound::aac_late;
        if (t.sound == TakeSound::aac_late)
            must(!t.contacts.empty() && t.contacts.front().sound_s > late_s + 0.1,
                 fmt::format("{} begins to listen before its first contact", t.id));
        music += t.music;
        const double length_s = t.frames() / static_cast<double>(t.rate);
        must(length_s >= 2.99 && length_s <= 10.5,
             fmt::format("{} lasts 3 to 10.5 s, found {:.2f}", t.id, length_s));
        must(t.number >= 1 && t.number <= 255, fmt::format("{} has a clip number that fits the strip", t.id));
        must(t.out_s - t.in_s > 0.7,
             fmt::format("{} keeps 0.7 s between in and out, found {:.2f}", t.id, t.out_s - t.in_s));
        for (const TakeContact& c : t.contacts) {
            const double frame = c.picture_s * t.rate;
            must(std::abs(frame - std::round(frame)) > 0.002,
                 fmt::format("{}: contact at {:.4f} s keeps off the edge of a frame", t.id, c.picture_s));
        }
        if (t.kind == "action") {
            must(!tagged_contacts(t).empty(), fmt::format("{} shows a contact", t.id));
            for (const TakeContact& c : tagged_contacts(t))
                if (c.skill != Skill::block || t.size != "wide")
                    seen[c.player][static_cast<int>(c.skill)] = true;
            for (const TakeContact& c : t.contacts)
                must(c.visible || t.size != "wide", fmt::format("{} is wide and shows the {} at {:.2f} s",
                                                                t.id, word_of(c.skill), c.picture_s));
        } else {
            must(t.contacts.empty(), fmt::format("{} is no action and holds no contact", t.id));
        }
    }
    for (int p = 0; p < player_count; ++p)
        for (int s = 0; s < skill_count; ++s)
            must(seen[p][s],
                 fmt::format("{} is filmed in a {}", id_of_player(p), word_of(static_cast<Skill>(s))));
    must(cameras[static_cast<int>('A')] && cameras[static_cast<int>('B')] && cameras[static_cast<int>('C')],
         "three cameras");
    for (const std::size_t rate : {25u, 50u, 100u, 120u})
        must(rates[rate] > 0, fmt::format("takes at {} pictures a second", rate));
    must(silent == 1, "one silent take");
    must(late == 1, "one take whose sound begins late");
    must(music > 5, "stadium music on some takes");
    return broken;
}

} // namespace downball::sample
