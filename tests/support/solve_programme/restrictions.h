// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "support/solve_programme/columns.h"
#include "support/solve_programme/packing.h"
#include "support/solve_programme/program.h"

namespace downball::tests::programme {

// The rows of the programme that hold between shots which do not touch: contacts, orders, quotas, shares, locks.
class Restrictions {
  public:
    Restrictions(const Rules& rules, const Worth& worth, const Columns& columns, Packing& packing,
                 Program& program)
        : r_(rules), w_(worth), columns_(columns), packing_(packing), program_(program) {}
    void add() {
        contacts();
        orders();
        quotas();
        shares();
        locks();
    }

  private:
    const Play& play(const Column& column) const { return columns_.plays[column.play]; }
    const Take& take(const Column& column) const { return r_.log.takes[play(column).take]; }
    static Sum joined(Sum a, const Sum& b) {
        a.insert(a.end(), b.begin(), b.end());
        return a;
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
            for (const Held& held : column.held)
                hung[{its.take, held.contact}].push_back({c, 1.0});
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
            std::set<std::pair<Skill, int>> names;
            for (const Held& held : column.held)
                names.insert(r_.name_of(its.take, held.contact));
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
            before(columns_.sum(
                       [&](const Column& column) { return of_moment(column) && is_action(take(column)); }),
                   columns_.sum(
                       [&](const Column& column) { return of_moment(column) && is_answer(take(column)); }));
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
        return columns_.sum(
            [&](const Column& column) { return play(column).take == t && play(column).contact == i; });
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
        for (const OtherCut& other : r_.limits.others) {
            Sum shared = columns_.sum([](const Column&) { return true; });
            for (auto& [c, factor] : shared) {
                const Column& column = columns_.all[c];
                const std::optional<std::size_t> contact = play(column).contact;
                const bool is = contact ? other.contacts.contains(take(column).impacts[*contact].id)
                                        : other.takes.contains(take(column).id);
                factor = (is ? 1 : 0) - other.shared_share_max;
            }
            program_.row(shared, 'L', 0);
        }
        for (const auto& [player, bounds] : variety.players)
            quota(columns_.sum([&, name = player](const Column& column) {
                return w_.players(play(column)).count(name) > 0;
            }),
                  bounds);
        for (const auto& [skill, bounds] : variety.skills)
            quota(columns_.sum([&, which = skill](const Column& column) {
                return w_.skills(play(column)).count(which) > 0;
            }),
                  bounds);
        for (std::size_t t = 0; t < r_.log.takes.size(); ++t)
            if (r_.log.takes[t].use == Use::must)
                quota(columns_.sum([&](const Column& column) { return play(column).take == t; }), {1, {}});
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
    void share(double most, const auto& is) {
        Sum frames;
        for (auto [c, one] : columns_.sum(is))
            frames.push_back({c, static_cast<double>(columns_.all[c].out - columns_.all[c].in)});
        program_.row(frames, 'L', static_cast<double>(down(most * static_cast<double>(r_.length))));
    }

    void locks() {
        for (const Lock& lock : r_.limits.locks)
            if (auto at = lock.shot.rfind('@'); at != std::string::npos)
                lock_plain(lock, lock.shot.substr(0, at), std::stoi(lock.shot.substr(at + 1)));
            else
                program_.row(columns_.sum([&](const Column& column) {
                    const Play& its = play(column);
                    return its.contact && take(column).impacts[*its.contact].id == lock.shot &&
                           (!lock.record_in || lock.record_in->n == column.in) &&
                           (!lock.source_in || lock.source_in->n == column.source_in) &&
                           (lock.held == 0 || its.held == lock.held);
                }),
                             'G', 1);
    }
    // The n-th shot of a take that is no action. One with a source but without a record place is not put into rows.
    void lock_plain(const Lock& lock, const std::string& id, int n) {
        auto its = [&](const Column& column) { return !play(column).contact && take(column).id == id; };
        if (!lock.record_in) {
            program_.row(columns_.sum(its), 'G', n);
            return;
        }
        program_.row(
            columns_.sum([&](const Column& column) { return its(column) && column.in == lock.record_in->n; }),
            'G', 1);
        program_.row(
            columns_.sum([&](const Column& column) { return its(column) && column.in < lock.record_in->n; }),
            'E', n - 1);
        if (lock.source_in)
            packing_.lock(columns_, program_, columns_.sum([&](const Column& column) {
                return its(column) && column.in == lock.record_in->n;
            }),
                          lock.source_in->n);
    }

    const Rules& r_;
    const Worth& w_;
    const Columns& columns_;
    Packing& packing_;
    Program& program_;
};

} // namespace downball::tests::programme
