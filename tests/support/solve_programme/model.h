// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "support/solve_programme/columns.h"
#include "support/solve_programme/packing.h"
#include "support/solve_programme/program.h"

#include <functional>

namespace downball::tests::programme {

// The problem of solve.h as an integer programme. Variable c, 0 or 1: column c stands in the cut. The columns in
// the cut are a path of entries from 0 to the end; at each entry one unit flows from the play that ends there to the
// play that begins, and the flow pays what the pair costs.
class Model {
  public:
    explicit Model(const solve::Problem& problem, std::size_t most_columns = 1000000)
        : r_(problem), w_(r_), columns_(r_, w_, most_columns) {
        if (too_large()) return;
        for (const Column& column : columns_.all) {
            double gain = w_.total(column.points) -
                          unit(column) * w_.total(w_.section_cost(play(column), slot(column)));
            if (column.in == 0)
                gain += w_.total(w_.opening(play(column))) -
                        unit(column) * w_.total(w_.opening_cost(play(column)));
            if (!column.exit) gain += w_.total(w_.ending(play(column)));
            program_.variable(gain, true);
        }
        path();
        packing_.fill(r_, columns_, program_); // no source frame of a file is shown twice
        contacts();
        orders();
        quotas();
        shares();
        locks();
        coverage_and_fresh();
    }
    bool too_large() const {
        return columns_.too_many();
    } // more places of shots than `most_columns`: no programme
    const Program& program() const { return program_; }

    // Points that every cut has.
    double constant() const {
        double sum = w_.weight[fresh];
        for (Term term : {variety, reaction, spread, chronology, side})
            sum += w_.weight[term];
        return sum;
    }
    double points(const std::vector<double>& values) const {
        double sum = constant();
        for (std::size_t v = 0; v < values.size(); ++v)
            sum += values[v] * program_.variables[v].gain;
        return sum;
    }

    CutPlan plan(const std::vector<double>& values) const {
        CutPlan plan;
        plan.length = Frame{r_.length};
        plan.song_start_s = r_.start_s;
        std::vector<std::size_t> chosen;
        for (std::size_t c = 0; c < columns_.all.size(); ++c)
            if (values[c] > 0.5) chosen.push_back(c);
        std::sort(chosen.begin(), chosen.end(),
                  [&](std::size_t a, std::size_t b) { return columns_.all[a].in < columns_.all[b].in; });
        std::map<std::size_t, int> ordinals;
        auto sources = packing_.sources(columns_, chosen, values);
        for (std::size_t c : chosen) {
            const Column& column = columns_.all[c];
            PlannedShot shot;
            shot.take = play(column).take;
            shot.record = {Frame{column.in}, Frame{column.out}};
            shot.source_in = Frame{sources.at(c)};
            shot.speed = play(column).speed;
            if (auto contact = play(column).contact) {
                shot.id = take(column).impacts[*contact].id;
                shot.anchors = {{*contact, *slot(column).beat, column.error / r_.fps}};
            } else
                shot.id = fmt::format("{}@{}", take(column).id, ++ordinals[shot.take]);
            plan.shots.push_back(shot);
        }
        return plan;
    }

  private:
    using Is = std::function<bool(const Column&)>;
    const Play& play(const Column& column) const { return columns_.plays[column.play]; }
    const Take& take(const Column& column) const { return r_.log.takes[play(column).take]; }
    const Slot& slot(const Column& column) const { return r_.slots[columns_.entries[column.entry].slot]; }
    double unit(const Column& column) const { return w_.unit(slot(column)); }
    Sum sum(const Is& is, double factor = 1) const {
        Sum all;
        for (std::size_t c = 0; c < columns_.all.size(); ++c)
            if (is(columns_.all[c])) all.push_back({c, factor});
        return all;
    }
    static Sum joined(Sum a, const Sum& b) {
        a.insert(a.end(), b.begin(), b.end());
        return a;
    }

    // One shot opens the cut; what ends at an entry goes on there.
    void path() {
        program_.row(sum([](const Column& column) { return column.in == 0; }), 'E', 1);
        std::vector<std::map<std::size_t, Sum>> ends(columns_.entries.size()),
            begins(columns_.entries.size());
        for (std::size_t c = 0; c < columns_.all.size(); ++c) {
            const Column& column = columns_.all[c];
            if (column.exit) ends[*column.exit][out_kind(column.play)].push_back({c, -1.0});
            if (column.in > 0) begins[column.entry][in_kind(column.play)].push_back({c, -1.0});
        }
        for (std::size_t e = 0; e < columns_.entries.size(); ++e)
            join(ends[e], begins[e], w_.unit(r_.slots[columns_.entries[e].slot]));
    }

    void join(std::map<std::size_t, Sum>& ends, std::map<std::size_t, Sum>& begins, double unit) {
        for (const auto& [a, ending] : ends)
            for (const auto& [b, beginning] : begins) {
                const Play &from = columns_.plays[a], &to = columns_.plays[b];
                if (goes_back(from, to)) continue;
                std::size_t flow = program_.variable(-unit * w_.total(w_.cost(from, to)), false);
                ends[a].push_back({flow, 1.0});
                begins[b].push_back({flow, 1.0});
            }
        for (const auto* side : {&ends, &begins})
            for (const auto& [kind, balance] : *side)
                program_.row(balance, 'E', 0);
    }
    bool goes_back(const Play& from, const Play& to) const {
        return r_.limits.story.order == Order::chronological && r_.day(to.take) < r_.day(from.take);
    }
    // The first play that all others feel in the same way as this one; speeds they never feel.
    std::size_t out_kind(std::size_t p) {
        return kind(p, out_kinds_, [&](std::size_t a, std::size_t b) { return cost_of(a, b); });
    }
    std::size_t in_kind(std::size_t p) {
        return kind(p, in_kinds_, [&](std::size_t a, std::size_t b) { return cost_of(b, a); });
    }
    double cost_of(std::size_t a, std::size_t b) const {
        const Play &from = columns_.plays[a], &to = columns_.plays[b];
        return goes_back(from, to) ? 1e9 : w_.total(w_.cost(from, to));
    }
    std::size_t kind(std::size_t p, std::map<std::size_t, std::size_t>& known, const auto& cost) const {
        auto [at, added] = known.try_emplace(p, p);
        if (!added) return at->second;
        for (std::size_t other = 0; other < p; ++other) {
            bool same = true;
            for (std::size_t q = 0; q < columns_.plays.size() && same; ++q)
                same = cost(p, q) == cost(other, q);
            if (same) return at->second = other;
        }
        return p;
    }

    // A contact hangs one shot at most, and no contact of a moment is shown by two takes but as a replay.
    void contacts() {
        std::map<std::pair<std::size_t, std::size_t>, Sum> hung;
        std::map<std::string, Sum> shown;                            // by contact and look
        std::map<std::string, std::map<std::size_t, Sum>> not_known; // by moment and look, by take
        for (std::size_t c = 0; c < columns_.all.size(); ++c) {
            const Column& column = columns_.all[c];
            const Play& its = play(column);
            if (!its.contact) continue;
            hung[{its.take, *its.contact}].push_back({c, 1.0});
            const Take& of = take(column);
            if (of.moment.empty()) continue;
            std::string look = of.moment + "/";
            if (r_.limits.variety.replays)
                look += fmt::format("{}/{}/{}/{}", of.camera, static_cast<int>(of.angle), its.speed.num(),
                                    its.speed.den());
            if (!r_.all_known(of.moment)) {
                not_known[look][its.take].push_back({c, 1.0});
                continue;
            }
            FrameRange source{Frame{*column.source_in},
                              Frame{*column.source_in + column.source_length(its.speed)}};
            std::set<std::pair<Skill, int>> names{r_.name_of(its.take, *its.contact)};
            for (std::size_t i : r_.shown(its.take, source))
                names.insert(r_.name_of(its.take, i));
            for (auto [skill, n] : names)
                shown[fmt::format("{}/{}/{}", look, static_cast<int>(skill), n)].push_back({c, 1.0});
        }
        for (auto& [contact, its] : hung)
            program_.row(its, 'L', 1);
        // Shots of one take that share a contact share source frames as well, so one row holds for all takes.
        for (auto& [contact, its] : shown)
            program_.row(its, 'L', 1);
        for (auto& [look, takes] : not_known)
            one_take_of(takes);
    }
    void one_take_of(const std::map<std::size_t, Sum>& takes) {
        if (takes.size() < 2) return;
        Sum used;
        for (const auto& [take, its] : takes) {
            std::size_t is_used = program_.variable(0, true);
            used.push_back({is_used, 1});
            for (auto& [entry, those] : by_start(its))
                program_.row(joined(those, {{is_used, -1}}), 'L', 0);
        }
        program_.row(used, 'L', 1);
    }
    // At one record frame no more than one shot begins.
    std::map<std::int64_t, Sum> by_start(const Sum& columns) const {
        std::map<std::int64_t, Sum> all;
        for (auto [c, factor] : columns)
            all[columns_.all[c].in].push_back({c, factor});
        return all;
    }

    void orders() {
        for (const auto& [moment, takes] : r_.moments) {
            auto of_moment = [&, m = moment](const Column& column) { return take(column).moment == m; };
            before(sum([&](const Column& column) { return of_moment(column) && is_action(take(column)); }),
                   sum([&](const Column& column) { return of_moment(column) && is_answer(take(column)); }));
        }
        if (r_.limits.story.order != Order::chronological || r_.limits.variety.replays) return;
        std::set<std::pair<std::size_t, std::size_t>> hooks;
        for (const Play& each : columns_.plays)
            if (each.contact) hooks.insert({each.take, *each.contact});
        for (auto [t, i] : hooks)
            for (auto [u, j] : hooks)
                if (r_.played_before(t, i, u, j)) before(hanging_on(t, i), hanging_on(u, j));
    }
    Sum hanging_on(std::size_t t, std::size_t i) const {
        return sum([&](const Column& column) { return play(column).take == t && play(column).contact == i; });
    }
    // No column of `first` stands behind one of `second`: a variable tells, at each start, whether one of `second` was there.
    void before(const Sum& first, const Sum& second) {
        if (first.empty() || second.empty()) return;
        auto early = by_start(first), late = by_start(second);
        std::set<std::int64_t> starts;
        for (const auto* side : {&early, &late})
            for (const auto& [start, those] : *side)
                starts.insert(start);
        std::optional<std::size_t> seen;
        for (std::int64_t start : starts) {
            if (seen && early.count(start)) program_.row(joined(early[start], {{*seen, 1}}), 'L', 1);
            std::size_t now = program_.variable(0, false);
            if (seen) program_.row({{*seen, 1}, {now, -1}}, 'L', 0);
            if (late.count(start)) program_.row(joined(late[start], {{now, -1}}), 'L', 0);
            seen = now;
        }
    }

    void quotas() {
        const Variety& variety = r_.limits.variety;
        for (const auto& [player, bounds] : variety.players)
            quota(sum([&, name = player](const Column& column) {
                      return w_.players(play(column)).count(name) > 0;
                  }),
                  bounds);
        for (const auto& [skill, bounds] : variety.skills)
            quota(sum([&, which = skill](const Column& column) {
                      return w_.skills(play(column)).count(which) > 0;
                  }),
                  bounds);
        for (std::size_t t = 0; t < r_.log.takes.size(); ++t)
            if (r_.log.takes[t].use == Use::must)
                quota(sum([&](const Column& column) { return play(column).take == t; }), {1, {}});
    }
    void quota(const Sum& those, Bounds bounds) {
        if (bounds.at_least > 0) program_.row(those, 'G', bounds.at_least);
        if (bounds.at_most) program_.row(those, 'L', *bounds.at_most);
    }

    void shares() {
        const Variety& variety = r_.limits.variety;
        share(variety.slow_motion_share_max, [&](const Column& column) { return w_.slow(play(column)); });
        share(variety.cutaway_share_max, [&](const Column& column) { return is_cutaway(take(column)); });
        share(variety.reaction_share_max, [&](const Column& column) { return is_answer(take(column)); });
    }
    void share(double most, const Is& is) {
        Sum frames;
        for (auto [c, one] : sum(is))
            frames.push_back({c, static_cast<double>(columns_.all[c].out - columns_.all[c].in)});
        program_.row(frames, 'L', static_cast<double>(down(most * static_cast<double>(r_.length))));
    }

    void locks() {
        for (const Lock& lock : r_.limits.locks)
            if (auto at = lock.shot.rfind('@'); at != std::string::npos)
                lock_plain(lock, lock.shot.substr(0, at), std::stoi(lock.shot.substr(at + 1)));
            else
                program_.row(sum([&](const Column& column) {
                                 const Play& its = play(column);
                                 return its.contact && take(column).impacts[*its.contact].id == lock.shot &&
                                        (!lock.record_in || lock.record_in->n == column.in) &&
                                        (!lock.source_in || lock.source_in->n == column.source_in);
                             }),
                             'G', 1);
    }
    // The n-th shot of a take that is no action. One with a source but without a record place is not put into rows.
    void lock_plain(const Lock& lock, const std::string& id, int n) {
        auto its = [&](const Column& column) { return !play(column).contact && take(column).id == id; };
        if (!lock.record_in) {
            program_.row(sum(its), 'G', n);
            return;
        }
        program_.row(sum([&](const Column& column) { return its(column) && column.in == lock.record_in->n; }),
                     'G', 1);
        program_.row(sum([&](const Column& column) { return its(column) && column.in < lock.record_in->n; }),
                     'E', n - 1);
        if (lock.source_in)
            packing_.lock(columns_, program_, sum([&](const Column& column) {
                              return its(column) && column.in == lock.record_in->n;
                          }),
                          lock.source_in->n);
    }

    void coverage_and_fresh() {
        std::set<std::string> players = w_.players_there();
        std::set<Skill> skills = w_.skills_there();
        double gain = w_.weight[coverage] * w_.covered(1);
        for (const std::string& player : players)
            seen(sum([&](const Column& column) { return w_.players(play(column)).count(player) > 0; }), gain);
        for (Skill skill : skills)
            seen(sum([&](const Column& column) { return w_.skills(play(column)).count(skill) > 0; }), gain);
        double cost = w_.weight[fresh] / w_.wanted_shots();
        for (std::size_t t = 0; t < r_.log.takes.size(); ++t) {
            Sum those = sum([&](const Column& column) { return play(column).take == t; });
            for (auto [c, one] : those)
                program_.variables[c].gain -= cost;
            seen(those, cost); // all but the first cost
        }
    }
    void seen(Sum those, double gain) {
        if (those.empty() || gain <= 0) return;
        std::size_t is_seen = program_.variable(gain, false);
        for (auto& [c, factor] : those)
            factor = -1;
        those.push_back({is_seen, 1});
        program_.row(those, 'L', 0);
    }

    Rules r_;
    Worth w_;
    Columns columns_;
    Program program_;
    Packing packing_;
    std::map<std::size_t, std::size_t> out_kinds_, in_kinds_;
};

} // namespace downball::tests::programme
