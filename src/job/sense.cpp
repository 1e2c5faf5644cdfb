// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "job/sense.h"

#include "downball/base/text.h"

#include <algorithm>
#include <array>
#include <fmt/format.h>

namespace downball::job {
namespace {

// File systems take 255 bytes; endings and names used while writing need some of them.
constexpr std::size_t longest_name = 200;

void check_bounds(const std::string& place, const Bounds& bounds, Complaints& complaints) {
    if (bounds.at_most && *bounds.at_most < bounds.at_least)
        complaints.add(place, fmt::format("found at_least {} and at_most {}; at_least must not be the larger",
                                          bounds.at_least, *bounds.at_most));
}

void check_players(const Job& job, Complaints& complaints) {
    std::vector<std::string> roster;
    for (const auto& [id, player] : job.players) {
        roster.push_back(id);
        if (words(id) != std::vector<std::string>{id})
            complaints.add(
                text::pointer({"roster", "players", id}),
                fmt::format("found the player id \"{}\", expected one without blanks, since the log lists "
                            "players with blanks between",
                            id));
    }
    for (const auto& [id, bounds] : job.limits.variety.players) {
        const std::string place = text::pointer({"variety", "players", id});
        check_bounds(place, bounds, complaints);
        if (roster.empty() || job.players.contains(id)) continue;
        const auto near = nearest_word(id, roster);
        complaints.add(
            place,
            near ? fmt::format("found the player \"{}\", who is not in the roster; did you mean \"{}\"?", id,
                               *near)
                 : fmt::format("found the player \"{}\", expected one of the roster: {}", id,
                               join(roster, ", ")));
    }
}

// Teams and players of `match` are those of the roster.
void check_match(const Job& job, Complaints& complaints) {
    std::vector<std::string> teams, ids;
    for (const auto& [id, player] : job.players) {
        ids.push_back(id);
        if (std::ranges::find(teams, player.team) == teams.end()) teams.push_back(player.team);
    }
    const auto check = [&](const std::string& place, std::string_view kind, const std::string& found,
                           const std::vector<std::string>& known) {
        if (std::ranges::find(known, found) != known.end()) return;
        const auto near = nearest_word(found, known);
        complaints.add(place, fmt::format("found \"{}\", expected a {} of the roster{}", found, kind,
                                          near            ? fmt::format("; did you mean \"{}\"?", *near)
                                          : known.empty() ? ", which is empty; fill roster.players first"
                                                          : ": " + join(known, ", ")));
    };
    for (std::size_t i = 0; i < job.match.teams.size(); ++i)
        check(fmt::format("/match/teams/{}", i), "team", job.match.teams[i], teams);
    if (job.match.teams.size() == 1)
        complaints.add("/match/teams",
                       "found 1 team, expected two: whose points stand first in a score, whose "
                       "second");
    if (job.match.teams.size() == 2 && job.match.teams[0] == job.match.teams[1])
        complaints.add("/match/teams",
                       fmt::format("found \"{}\" twice, expected two teams: whose points stand "
                                   "first in a score, whose second",
                                   job.match.teams[0]));
    for (std::size_t i = 0; i < job.match.sets.size(); ++i) {
        const SetStart& set = job.match.sets[i];
        const auto place = fmt::format("/match/sets/{}", i);
        if (!set.left.empty()) check(place + "/left", "team", set.left, teams);
        for (std::size_t n = 0; n < set.serve.size(); ++n) {
            check(fmt::format("{}/serve/{}", place, n), "player", set.serve[n], ids);
            if (std::find(set.serve.begin(), set.serve.begin() + static_cast<std::ptrdiff_t>(n),
                          set.serve[n]) != set.serve.begin() + static_cast<std::ptrdiff_t>(n))
                complaints.add(
                    fmt::format("{}/serve/{}", place, n),
                    fmt::format("found \"{}\" a second time; name each player once", set.serve[n]));
        }
        for (std::size_t n = 0; n + 1 < set.serve.size(); ++n) {
            const auto one = job.players.find(set.serve[n]), next = job.players.find(set.serve[n + 1]);
            if (one == job.players.end() || next == job.players.end() ||
                one->second.team != next->second.team)
                continue;
            complaints.add(fmt::format("{}/serve/{}", place, n + 1),
                           fmt::format("found {} behind {} of the same team; the teams take turns to serve",
                                       next->first, one->first));
        }
    }
}

void check_cameras(const Job& job, Complaints& complaints) {
    for (const auto& [id, camera] : job.cameras)
        if (camera.sound_from == id)
            complaints.add(
                text::pointer({"cameras", id, "sound_from"}),
                fmt::format("found \"{}\", the camera itself; expected another one, which has sound", id));
}

void check_lengths(const Job& job, Complaints& complaints) {
    const auto holds_a_shot = [&](const std::string& place, double length_s) {
        const double shortest_s = job.limits.pacing.shortest_s;
        if (length_s < shortest_s)
            complaints.add(place, fmt::format("found {}, which is under the shortest shot, {:.3g} s; give a "
                                              "longer one, or make pacing.shortest_s shorter",
                                              length_s, shortest_s));
    };
    const auto& one = job.limits.delivery.length_s;
    const auto& several = job.lengths_s;
    if (one) holds_a_shot("/delivery/length_s", *one);
    if (one && !several.empty())
        complaints.add("/delivery/lengths_s",
                       "found beside length_s, which says one length; remove one of them");
    for (auto length = several.begin(); length != several.end(); ++length) {
        const auto place = fmt::format("/delivery/lengths_s/{}", length - several.begin());
        holds_a_shot(place, *length);
        if (std::find(several.begin(), length, *length) != length)
            complaints.add(place, fmt::format("found {} a second time; name each length once", *length));
    }
}

} // namespace

bool fits_file_names(const std::string& name) {
    return !name.empty() && name.size() <= longest_name && name.front() != '.' && name.front() != '-' &&
           trim(name) == name && std::none_of(name.begin(), name.end(), [](char c) {
               return static_cast<unsigned char>(c) < 0x20u ||
                      std::string_view("/\\:*?\"<>|").find(c) != std::string_view::npos;
           });
}

Error Complaints::error(const std::string& path) const {
    if (all_.size() == 1) return {Fault::bad_input, all_.front().second, path + " " + all_.front().first};
    std::vector<std::string> lines;
    for (const auto& [place, what] : all_)
        lines.push_back(fmt::format("{}: {}", place, what));
    return {Fault::bad_input, join(lines, "\n"), path};
}

void check_sense(const Job& job, Complaints& complaints) {
    const Pacing& pacing = job.limits.pacing;
    if (!fits_file_names(job.name))
        complaints.add("/name",
                       fmt::format("found \"{}\", expected a name that files can have: without / \\ : * ? \" "
                                   "< > |, not beginning with a point or a dash, and of {} bytes at most",
                                   job.name, longest_name));
    if (pacing.shortest_s > pacing.longest_s)
        complaints.add("/pacing/shortest_s",
                       fmt::format("found {}, which is over longest_s, {}; a shot cannot be both",
                                   pacing.shortest_s, pacing.longest_s));
    if (pacing.lead_in_min_s > pacing.lead_in_max_s)
        complaints.add("/pacing/lead_in_s", fmt::format("found [{}, {}], expected the smaller number first",
                                                        pacing.lead_in_min_s, pacing.lead_in_max_s));
    if (pacing.lead_in_min_s + pacing.tail_s > pacing.longest_s)
        complaints.add("/pacing/longest_s",
                       fmt::format("found {}, too short for a lead-in of {} and a tail of {}",
                                   pacing.longest_s, pacing.lead_in_min_s, pacing.tail_s));
    check_lengths(job, complaints);
    if (const SongHints& hints = job.song.hints; hints.bpm && hints.tempo != TempoHint::as_found)
        complaints.add("/song/tempo",
                       fmt::format("found \"{}\" beside a bpm of {}, which says the tempo outright; remove "
                                   "one of them",
                                   hints.tempo == TempoHint::half ? "half" : "double", *hints.bpm));
    check_players(job, complaints);
    check_match(job, complaints);
    check_cameras(job, complaints);
    if (const int side_px = job.preview.longer_side_px; side_px % 2 != 0)
        complaints.add("/preview/longer_side_px",
                       fmt::format("found {}, expected an even number, as {}: colour has half the pixels",
                                   side_px, side_px + 1));
    for (const auto& [skill, bounds] : job.limits.variety.skills)
        check_bounds(fmt::format("/variety/skills/{}", to_string(skill)), bounds, complaints);
}

std::string no_timecode(Rate rate) {
    return fmt::format(
        "found {}, a rate that has no timecode; expected 24000/1001, 24, 25, 30000/1001, 30, 48, 50, "
        "60000/1001 or 60",
        to_string(rate));
}

Result<Frame> label_in(const text::Json& label, const Delivery& delivery) {
    const std::string& written = label.string();
    if (written.find(';') != std::string::npos && delivery.counting == Counting::non_drop)
        return Error{
            Fault::bad_input,
            fmt::format("found \"{}\", written with ';' as drop frame is, but drop_frame is not true",
                        written),
            ""};
    return from_timecode(written, delivery.rate, delivery.counting);
}

std::span<const std::pair<const char*, double Weights::*>> weight_names() {
    static constexpr std::array<std::pair<const char*, double Weights::*>, 15> names{
        {{"sync", &Weights::sync},
         {"accent", &Weights::accent},
         {"confidence", &Weights::confidence},
         {"rating", &Weights::rating},
         {"rally", &Weights::rally},
         {"pace", &Weights::pace},
         {"variety", &Weights::variety},
         {"reaction", &Weights::reaction},
         {"spread", &Weights::spread},
         {"chronology", &Weights::chronology},
         {"story", &Weights::story},
         {"side", &Weights::side},
         {"coverage", &Weights::coverage},
         {"fresh", &Weights::fresh},
         {"keep", &Weights::keep}}};
    return names;
}

} // namespace downball::job
