// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "shotlog/match_sense.h"

#include "shotlog/rallies.h"

#include "downball/base/notes.h"
#include "downball/base/text.h"
#include "downball/match/ends.h"
#include "downball/match/serve.h"
#include "downball/match/starts.h"
#include "downball/match/winner.h"

#include <algorithm>
#include <fmt/format.h>
#include <set>
#include <span>
#include <tuple>

namespace downball::shotlog {
namespace {

constexpr int sets_most = 3;
constexpr std::size_t serves_told = 3; // by a note of their own

std::optional<match::Team> team_of_player(const std::string& player, const match::Facts& facts,
                                          const TeamOf& team_of) {
    const auto team = team_of.find(player);
    return team == team_of.end() ? std::nullopt : match::team_called(facts, team->second);
}

void tell_servers(std::vector<Take>& takes, const std::vector<std::optional<match::Start>>& starts, int set,
                  const match::Facts& facts, const TeamOf& team_of) {
    const KnownScores known = known_scores(takes, set, facts, team_of);
    if (!match::of_one_set(set, known.scores)) return;
    const auto order = match::start_of(facts, set).serve;
    const auto opens = order.empty() ? std::nullopt : team_of_player(order.front(), facts, team_of);
    const auto serves = match::serves(order, opens, known.scores);
    for (std::size_t t = 0; t < takes.size(); ++t) {
        if (!starts[t] || starts[t]->set != set || !of_match(takes[t], facts, team_of)) continue;
        // After the set's last point nobody serves.
        if (match::set_over(set, starts[t]->score)) continue;
        for (std::size_t n = 0; n < known.scores.size(); ++n) {
            if (known.scores[n].a != starts[t]->score.a || known.scores[n].b != starts[t]->score.b) continue;
            if (serves[n].team) takes[t].serving = match::name_of(facts, *serves[n].team);
            takes[t].server = serves[n].player;
        }
    }
}

struct Reader {
    const std::vector<Take>& takes;
    const match::Facts& facts;
    const TeamOf& team_of;
    std::vector<std::string> notes;
    std::vector<std::string> served_by_others = {}; // lines

    bool ours(const Take& take) const { return of_match(take, facts, team_of); }

    // One note a set: more would follow from the same slip. Two rows of one camera are told by score_contradictions.
    void two_scores(int set) {
        const KnownScores known = known_scores(takes, set, facts, team_of);
        for (std::size_t n = 1; n < known.scores.size(); ++n) {
            if (match::of_one_set(set, std::span(known.scores).subspan(n - 1, 2))) continue;
            const Take &one = takes[known.takes[n - 1]], &next = takes[known.takes[n]];
            if (one.camera != next.camera)
                notes.push_back(fmt::format(
                    "line {}, column score: {} in set {} cannot be of one set with "
                    "{} in line {}, so nobody's serve in it is known; correct one of them",
                    next.line, match::to_string(*next.score), set, match::to_string(*one.score), one.line));
            return;
        }
    }

    void sets_out_of_turn() {
        std::map<std::string, const Take*> last_of_camera;
        for (const Take& take : takes) {
            if (take.set < 1 || !ours(take)) continue;
            const Take*& before = last_of_camera[take.camera];
            if (before && take.set < before->set)
                notes.push_back(fmt::format(
                    "line {}, column set: set {} comes after set {} in line {} of the same camera; one of "
                    "them is wrong, or the rows do not stand as they were filmed",
                    take.line, take.set, before->set, before->line));
            before = &take;
        }
    }

    void third_set() {
        std::vector<Score> last; // of sets 1 and 2, as far as the log goes
        for (const int set : {1, 2}) {
            const KnownScores known = known_scores(takes, set, facts, team_of);
            if (known.scores.empty() || !match::of_one_set(set, known.scores)) return;
            last.push_back(known.scores.back());
        }
        const auto winner = match::match_winner(last);
        if (!winner) return;
        const auto take =
            std::ranges::find_if(takes, [&](const Take& one) { return one.set == sets_most && ours(one); });
        if (take != takes.end())
            notes.push_back(fmt::format(
                "line {}, column set: no set 3 was played, since {} won sets 1 and 2 by the log's scores; "
                "correct it or these",
                take->line, match::name_of(facts, *winner)));
    }

    // Players of a take are those seen in it, so that one of several may be who serves.
    void server(const Take& take, const match::Start& start) {
        if (take.serving.empty() || take.players.empty()) return;
        if (std::ranges::find(take.players, take.server) != take.players.end()) return;
        const auto team = [&](const std::string& player) { return team_of_player(player, facts, team_of); };
        if (!std::ranges::all_of(take.players, [&](const auto& player) { return team(player).has_value(); }))
            return;
        const bool of_team = std::ranges::any_of(take.players, [&](const auto& player) {
            return team(player) == match::team_called(facts, take.serving);
        });
        if (of_team && take.server.empty()) return;
        served_by_others.push_back(fmt::format("{}", take.line));
        notes.push_back(fmt::format(
            "line {}: a serve with {} at {} in set {}, where by the scores {}{} serves; check players and "
            "score{}",
            take.line, join(take.players, ", "), match::to_string(start.score), start.set,
            take.server.empty() ? "" : take.server + " of ", take.serving,
            take.server.empty() ? "" : ", and `serve` in match.sets of the job"));
    }

    void servers() {
        const auto starts = match::rally_starts(takes);
        using Rally = std::tuple<int, int, int, std::vector<std::string>>;
        std::set<Rally> told; // several cameras film one serve
        for (std::size_t t = 0; t < takes.size(); ++t) {
            const Take& take = takes[t];
            if (!starts[t] || take.kind != Kind::action || take.skills.empty() ||
                take.skills.front() != Skill::serve)
                continue;
            const auto& [set, score] = *starts[t];
            if (told.emplace(set, score.a, score.b, take.players).second) server(take, *starts[t]);
        }
        // One slip, as points entered after the rally, makes many.
        if (served_by_others.size() <= serves_told) return;
        notes.resize(notes.size() - (served_by_others.size() - serves_told));
        const std::span rest = std::span(served_by_others).subspan(serves_told);
        notes.push_back(fmt::format(
            "{} of others than the scores tell, in line{} {}; were the points entered after the rally?",
            rest.size() == 1 ? "1 more serve is" : fmt::format("{} more serves are", rest.size()),
            rest.size() == 1 ? "" : "s", some_of(rest, 6)));
    }
};

} // namespace

void tell_match(std::vector<Take>& takes, const match::Facts& facts, const TeamOf& team_of) {
    const auto starts = match::rally_starts(takes);
    for (std::size_t t = 0; t < takes.size(); ++t) {
        if (!starts[t]) continue;
        takes[t].ends = match::ends_parity(facts, starts[t]->set, starts[t]->score);
        if (of_match(takes[t], facts, team_of))
            takes[t].left = match::left_team(facts, starts[t]->set, starts[t]->score);
    }
    if (facts.teams.size() != 2) return;
    for (int set = 1; set <= sets_most; ++set)
        tell_servers(takes, starts, set, facts, team_of);
}

std::vector<std::string> match_contradictions(const std::vector<Take>& takes, const match::Facts& facts,
                                              const TeamOf& team_of) {
    if (facts.teams.size() != 2) return {};
    Reader reader{takes, facts, team_of, {}};
    for (int set = 1; set <= sets_most; ++set)
        reader.two_scores(set);
    reader.sets_out_of_turn();
    reader.third_set();
    reader.servers();
    return std::move(reader.notes);
}

} // namespace downball::shotlog
