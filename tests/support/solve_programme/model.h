// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "support/solve_programme/columns.h"
#include "support/solve_programme/packing.h"
#include "support/solve_programme/restrictions.h"

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
        Restrictions(r_, w_, columns_, packing_, program_).add();
        coverage_and_fresh();
    }
    // More places of shots than `most_columns`: there is no programme.
    bool too_large() const { return columns_.too_many(); }
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
                for (const Held& held : column.held)
                    shot.anchors.push_back({held.contact, *r_.slots[held.slot].beat, held.error / r_.fps});
                if (play(column).held > 1) run_in_stretches(column, shot);
            } else
                shot.id = fmt::format("{}@{}", take(column).id, ++ordinals[shot.take]);
            plan.shots.push_back(shot);
        }
        return plan;
    }

  private:
    // Stretches may run at the same speed: then there is no joint to be seen.
    void run_in_stretches(const Column& column, PlannedShot& shot) const {
        std::int64_t record = column.in, source = *column.source_in;
        auto go_on = [&](std::int64_t to, std::int64_t from) {
            if (to == record) return;
            shot.stretches.push_back({{Frame{record}, Frame{to}}, {Frame{source}, Frame{from}}});
            shot.speed = std::min(shot.speed, Fraction(from - source, to - record));
            record = to;
            source = from;
        };
        for (const Held& held : column.held)
            go_on(r_.slots[held.slot].frame, held.source);
        go_on(column.out, source + column.out - record);
    }
    const Play& play(const Column& column) const { return columns_.plays[column.play]; }
    const Take& take(const Column& column) const { return r_.log.takes[play(column).take]; }
    const Slot& slot(const Column& column) const { return r_.slots[columns_.entries[column.entry].slot]; }
    double unit(const Column& column) const { return w_.unit(slot(column)); }

    // One shot opens the cut; what ends at an entry goes on there.
    void path() {
        program_.row(columns_.sum([](const Column& column) { return column.in == 0; }), 'E', 1);
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

    void coverage_and_fresh() {
        std::set<std::string> players = w_.players_there();
        std::set<Skill> skills = w_.skills_there();
        double gain = w_.weight[coverage] * w_.covered(1);
        for (const std::string& player : players)
            seen(columns_.sum(
                     [&](const Column& column) { return w_.players(play(column)).count(player) > 0; }),
                 gain);
        for (Skill skill : skills)
            seen(columns_.sum([&](const Column& column) { return w_.skills(play(column)).count(skill) > 0; }),
                 gain);
        double cost = w_.weight[fresh] / w_.wanted_shots();
        for (std::size_t t = 0; t < r_.log.takes.size(); ++t) {
            Sum those = columns_.sum([&](const Column& column) { return play(column).take == t; });
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
