// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "support/solve_programme/columns.h"
#include "support/solve_programme/program.h"

namespace downball::tests::programme {

// Which source frames the shots of a file take up. Actions have their place. The other shots of a take that has its
// file to itself fit if their lengths together do, in any order. In a file that takes share, or where a lock names a
// source place, variables tell how many shots of a length begin at a source frame.
class Packing {
  public:
    void fill(const Rules& rules, const Columns& columns, Program& program) {
        std::map<std::size_t, std::set<std::size_t>> files;
        for (std::size_t c = 0; c < columns.all.size(); ++c) {
            const Play& play = columns.plays[columns.all[c].play];
            files[rules.log.takes[play.take].media].insert(play.take);
        }
        for (const auto& [media, takes] : files) {
            std::vector<Span> spans;
            for (std::size_t c = 0; c < columns.all.size(); ++c) {
                const Column& column = columns.all[c];
                const Play& play = columns.plays[column.play];
                if (takes.count(play.take) && play.contact)
                    spans.push_back(
                        {*column.source_in, *column.source_in + column.source_length(play.speed), c});
            }
            for (std::size_t take : takes)
                if (!is_action(rules.log.takes[take])) {
                    if (takes.size() == 1 && !locked(rules, take))
                        whole(rules, columns, take, program);
                    else
                        placed(rules, columns, take, program, spans);
                }
            once(spans, program);
        }
    }

    // Whichever of these columns stands in the cut, it begins at that source frame.
    void lock(const Columns& columns, Program& program, const Sum& those, std::int64_t source_in) {
        for (auto [c, one] : those) {
            auto at = placed_.find(key(columns, c, source_in));
            Sum sum{{c, 1.0}};
            if (at != placed_.end()) sum.push_back({at->second, -1.0});
            program.row(sum, 'L', 0);
            locked_[c] = source_in;
        }
    }

    // Source in of these columns, which stand in the cut; by column.
    std::map<std::size_t, std::int64_t> sources(const Columns& columns,
                                                const std::vector<std::size_t>& chosen,
                                                const std::vector<double>& values) const {
        std::map<std::size_t, std::int64_t> found, next = whole_;
        std::set<std::size_t> gone;
        auto take_from_placed = [&](std::size_t c, const auto& fits) {
            for (const auto& [at, variable] : placed_)
                if (values[variable] > 0.5 && at == key(columns, c, std::get<2>(at)) &&
                    fits(std::get<2>(at)) && gone.insert(variable).second) {
                    found[c] = std::get<2>(at);
                    return;
                }
        };
        for (std::size_t c : chosen)
            if (auto lock = locked_.find(c); lock != locked_.end())
                take_from_placed(c, [&](std::int64_t at) { return at == lock->second; });
        for (std::size_t c : chosen) {
            const Column& column = columns.all[c];
            if (column.source_in)
                found[c] = *column.source_in;
            else if (auto at = next.find(columns.plays[column.play].take); at != next.end()) {
                found[c] = at->second;
                at->second += column.out - column.in;
            } else if (!found.count(c))
                take_from_placed(c, [](std::int64_t) { return true; });
        }
        return found;
    }

  private:
    struct Span {
        std::int64_t in, out;
        std::size_t variable;
    };
    using Key = std::tuple<std::size_t, std::int64_t, std::int64_t>; // take, length, source in
    static Key key(const Columns& columns, std::size_t c, std::int64_t source_in) {
        return {columns.plays[columns.all[c].play].take, columns.all[c].out - columns.all[c].in, source_in};
    }
    static bool locked(const Rules& rules, std::size_t take) {
        return std::any_of(rules.limits.locks.begin(), rules.limits.locks.end(), [&](const Lock& lock) {
            return lock.source_in && lock.shot.rfind(rules.log.takes[take].id + "@", 0) == 0;
        });
    }
    void whole(const Rules& rules, const Columns& columns, std::size_t take, Program& program) {
        Sum lengths;
        for (std::size_t c = 0; c < columns.all.size(); ++c)
            if (columns.plays[columns.all[c].play].take == take)
                lengths.push_back({c, static_cast<double>(columns.all[c].out - columns.all[c].in)});
        program.row(lengths, 'L', static_cast<double>(rules.room(take).length().n));
        whole_[take] = rules.room(take).in.n;
    }
    void placed(const Rules& rules, const Columns& columns, std::size_t take, Program& program,
                std::vector<Span>& spans) {
        std::map<std::int64_t, Sum> by_length;
        for (std::size_t c = 0; c < columns.all.size(); ++c)
            if (columns.plays[columns.all[c].play].take == take)
                by_length[columns.all[c].out - columns.all[c].in].push_back({c, -1.0});
        for (auto& [length, balance] : by_length) {
            for (std::int64_t at = rules.room(take).in.n; at + length <= rules.room(take).out.n; ++at) {
                std::size_t variable = program.variable(0, true);
                placed_[{take, length, at}] = variable;
                balance.push_back({variable, 1.0});
                spans.push_back({at, at + length, variable});
            }
            program.row(balance, 'E', 0);
        }
    }
    // Intervals that meet have a frame in common at which one of them begins. A row each such frame is enough, but
    // where nothing ends before the next one, whose row then holds as much and more.
    static void once(const std::vector<Span>& spans, Program& program) {
        std::map<std::int64_t, bool> events; // at an end false, at a begin true, both: true
        std::set<std::int64_t> ends;
        for (const Span& span : spans) {
            events[span.in] = true;
            events.try_emplace(span.out, false);
            ends.insert(span.out);
        }
        for (auto at = events.begin(); at != events.end(); ++at) {
            auto next = std::next(at);
            if (!at->second || (next != events.end() && !ends.count(next->first))) continue;
            Sum over;
            for (const Span& span : spans)
                if (span.in <= at->first && at->first < span.out) over.push_back({span.variable, 1.0});
            if (over.size() > 1) program.row(over, 'L', 1);
        }
    }

    std::map<Key, std::size_t> placed_;
    std::map<std::size_t, std::int64_t> whole_;  // take, its first frame
    std::map<std::size_t, std::int64_t> locked_; // column, its source in
};

} // namespace downball::tests::programme
