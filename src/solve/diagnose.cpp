// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/diagnose.h"

#include "solve/movable.h"
#include "solve/reasons.h"
#include "solve/search.h"

#include "downball/base/text.h"

#include <algorithm>
#include <fmt/format.h>

namespace downball::solve {
namespace {

const char* const nothing_found =
    "nothing that could be tried in the time allowed: loosen several of these limits at once";

constexpr double usual_effort = 0.1; // of a search for a cut

using Limit = std::size_t;
using Moves = std::vector<int>; // by limit

class Diagnoser {
  public:
    Diagnoser(const Problem& problem, const LongWork& work)
        : problem_(problem), work_(work), limits_(movables(problem)), length_(limits_.size() - 2) {
        // A round of the relaxation looks at all shots that can be hung, on all places to hang them: a minute
        // cut from fifty takes has about 40 000 pairs of them, and a round takes some 10 ms.
        Setting setting = make_setting(problem);
        double size = static_cast<double>(setting.stock.plays.size() * setting.grid.slots.size());
        left_ = std::clamp(500 * 4e4 / std::max(1.0, size), 150.0, 20000.0);
        reserve_ = 0.6 * left_;
    }

    Diagnosis run(bool proven) {
        Diagnosis out;
        const std::vector<Limit> kept = smallest(asked(), proven, out.minimal);
        out.conflict.proven = proven;
        for (Limit m : kept)
            out.members.push_back({m, limit_dropped});
        out.alone = single_changes(kept);
        const auto by_length = std::find_if(out.alone.begin(), out.alone.end(),
                                            [&](const Change& change) { return change.limit >= length_; });
        if (by_length != out.alone.end() && works(with(only(kept), *by_length)))
            out.members.push_back(*by_length);
        else if (auto change = length_change(only(kept)))
            out.members.push_back(*change);
        const bool limit_alone = by_length != out.alone.begin() && !out.alone.empty();
        std::vector<std::vector<Limit>> behind;
        if (!limit_alone) out.together = joint_change(kept, behind);
        tell(kept, out);
        for (const auto& others : behind)
            out.conflict.limits.push_back("and, apart from these: " + join(facts(others).facts, "; "));
        return out;
    }

  private:
    Moves asked() const { return Moves(limits_.size()); }
    // These limits without any other.
    Moves only(const std::vector<Limit>& kept) const {
        Moves moves(limits_.size());
        std::fill(moves.begin(), moves.begin() + static_cast<std::ptrdiff_t>(length_), limit_dropped);
        for (Limit m : kept)
            moves[m] = 0;
        return moves;
    }

    static Moves with(Moves moves, const Change& change) {
        moves[change.limit] = change.step;
        return moves;
    }

    // Limits that cannot be met together at this length, of those that stand. What is not proven to be needless
    // stays if the conflict is proven. Whole stretches of limits are left out at once, then halves of them, the
    // least asked on purpose first.
    std::vector<Limit> smallest(Moves moves, bool& proven, bool& minimal) {
        std::vector<Limit> kept;
        for (Limit m = 0; m < length_; ++m)
            if (moves[m] == 0) kept.push_back(m);
        bool sure = proven;
        for (std::size_t stretch = kept.size(); stretch > 0; stretch /= 2)
            for (std::size_t to = kept.size(); to > 0;) {
                const std::size_t from = to - std::min(to, stretch);
                Moves without = moves;
                for (std::size_t n = from; n < to; ++n)
                    without[kept[n]] = limit_dropped;
                const Found found = left_ > reserve_ ? try_with(without) : Found{};
                const bool stays = left_ <= reserve_ || found.cut || (proven && !found.impossible);
                if (!stays) {
                    sure = sure && found.impossible;
                    moves = without;
                    kept.erase(kept.begin() + static_cast<std::ptrdiff_t>(from),
                               kept.begin() + static_cast<std::ptrdiff_t>(to));
                }
                to = from;
            }
        proven = sure;
        drop_needless(moves, kept, minimal);
        return kept;
    }

    // Leaving out a limit may take a cut away: another contact that may be shown is one more to mind. So each is
    // looked at once more without the others, and longer, until none is needless.
    void drop_needless(Moves moves, std::vector<Limit>& kept, bool& minimal) {
        std::size_t sure = 0;
        for (std::size_t n = 0; sure < kept.size(); n = kept.empty() ? 0 : n % kept.size()) {
            const Found found = try_with(with(moves, {kept[n], limit_dropped}), 1);
            if (found.impossible) {
                moves[kept[n]] = limit_dropped;
                kept.erase(kept.begin() + static_cast<std::ptrdiff_t>(n));
                sure = 0;
                minimal = true;
                continue;
            }
            minimal = minimal && found.cut;
            ++n;
            ++sure;
        }
    }

    Found try_with(const Moves& moves, double effort = usual_effort) {
        if (left_ <= 0 || work_.stop_asked()) {
            left_ = 0;
            return {};
        }
        const Moved moved = solve::moved(problem_, limits_, moves);
        Problem problem{problem_.beats, moved.log, moved.limits, problem_.song_start_s};
        Setting setting = make_setting(problem);
        if (plain_reason(setting)) {
            Found none;
            none.impossible = true;
            return none;
        }
        Found found = search(setting, {true, effort}, work_);
        left_ -= 1 + found.work;
        return found;
    }
    bool works(const Moves& moves) { return try_with(moves).cut.has_value(); }

    // The nearest step of limit m at which a cut is found, the other limits standing as `moves` say.
    std::optional<Change> least_change(Moves moves, Limit m) {
        const Movable& limit = limits_[m];
        const auto at = [&](int step) {
            moves[m] = step;
            return works(moves);
        };
        if (limit.kind == Movable::Steps::values) {
            for (int step = 1; step <= limit.steps; ++step)
                if (at(step)) return Change{m, step};
            return at(limit_dropped) ? std::optional(Change{m, limit_dropped}) : std::nullopt;
        }
        if (limit.drop && !at(limit_dropped)) return std::nullopt;
        // From small steps on, since most conflicts are near.
        int low = 0, high = std::min(1, limit.steps);
        while (high > low && !at(high)) {
            low = high;
            high = std::min(2 * high, limit.steps);
        }
        if (high <= low) return limit.drop ? std::optional(Change{m, limit_dropped}) : std::nullopt;
        while (high - low > 1) {
            const int middle = (low + high) / 2;
            (at(middle) ? high : low) = middle;
        }
        return Change{m, high};
    }

    // Cut down, or drawn out.
    std::optional<Change> length_change(const Moves& moves) {
        for (Limit way : {length_, length_ + 1})
            if (auto change = least_change(moves, way)) return change;
        return std::nullopt;
    }

    std::vector<Change> single_changes(const std::vector<Limit>& kept) {
        std::vector<Change> alone;
        const double joint = 0.7 * left_; // kept for changes of several limits
        for (Limit m : kept) {
            if (left_ < joint && alone.empty()) break;
            if (auto change = least_change(asked(), m)) alone.push_back(*change);
        }
        if (auto change = length_change(asked())) alone.push_back(*change);
        return alone;
    }

    // Leaves out the suspects, then the limits in conflict without them, and so on until there is a cut; cuts the
    // length down too if the takes cannot fill it. False: to no avail. Those found on the way land in `behind`.
    bool give_way(std::vector<Limit>& suspects, Moves& moves, std::vector<std::vector<Limit>>& behind) {
        for (Limit m : suspects)
            moves[m] = limit_dropped;
        for (;;) {
            const Found found = try_with(moves);
            if (found.cut) return true;
            bool proven = found.impossible, minimal = true;
            reserve_ = 0.3 * left_;
            const auto more = smallest(moves, proven, minimal);
            if (left_ <= 0) return false;
            if (!more.empty())
                behind.push_back(more);
            else if (moves[length_] != 0 || moves[length_ + 1] != 0)
                return false;
            else if (auto change = length_change(only({})))
                moves[change->limit] = change->step;
            else
                return false;
            for (Limit m : more)
                moves[m] = limit_dropped;
            suspects.insert(suspects.end(), more.begin(), more.end());
        }
    }

    // All suspects are left out; then each is put back as far as the others allow.
    std::vector<Change> joint_change(std::vector<Limit> suspects, std::vector<std::vector<Limit>>& behind) {
        Moves moves = asked();
        if (!give_way(suspects, moves, behind)) return {};
        std::sort(suspects.begin(), suspects.end());
        for (std::size_t stretch = (suspects.size() + 1) / 2; stretch > 0; stretch /= 2)
            for (std::size_t to = suspects.size(); to > 0; to -= std::min(to, stretch)) {
                Moves with = moves;
                for (std::size_t n = to - std::min(to, stretch); n < to; ++n)
                    with[suspects[n]] = 0;
                if (with != moves && works(with)) moves = with;
            }
        suspects.push_back(length_);
        suspects.push_back(length_ + 1);
        std::vector<Change> changes;
        for (Limit m : suspects) {
            if (moves[m] == 0) continue;
            if (auto change = least_change(moves, m)) moves[m] = change->step;
            changes.push_back({m, moves[m]});
        }
        return changes;
    }

    std::string words(const Change& change) const {
        const Movable& limit = limits_[change.limit];
        return change.step == limit_dropped ? limit.dropped : limit.loosened(change.step);
    }
    std::string words(const std::vector<Change>& changes) const {
        std::vector<std::string> all;
        for (const Change& change : changes)
            all.push_back(words(change));
        return join(all, "; ");
    }

    // These limits in words, with what can be seen of them without a search.
    Reason facts(const std::vector<Limit>& kept) const {
        const Moved moved = solve::moved(problem_, limits_, only(kept));
        const Problem bare{problem_.beats, moved.log, moved.limits, problem_.song_start_s};
        const Setting setting = make_setting(bare);
        Reason reason = plain_reason(setting).value_or(Reason{});
        if (kept.empty() && reason.facts.empty()) {
            const double length_s = static_cast<double>(setting.grid.length) / setting.grid.fps;
            reason.facts.push_back(
                fmt::format("the takes in the log cannot fill {:.2f} s on these beats", length_s));
            reason.says_length = true;
        }
        for (Limit m : kept) {
            const std::string& its = limits_[m].words;
            if (std::find(reason.said.begin(), reason.said.end(), its) == reason.said.end())
                reason.facts.push_back(its);
        }
        return reason;
    }

    void tell(const std::vector<Limit>& kept, Diagnosis& out) const {
        const Reason reason = facts(kept);
        out.conflict.limits = reason.facts;
        if (out.members.size() > kept.size() && !reason.says_length)
            out.conflict.limits.push_back(limits_[length_].words);
        auto& remedies = out.conflict.remedies;
        if (!out.alone.empty())
            remedies.push_back((out.alone.size() == 1 ? "this will do: " : "any one of these will do: ") +
                               words(out.alone));
        if (!out.together.empty())
            remedies.push_back(
                (out.together.size() == 1 ? "this will do: " : "all of these together will do: ") +
                words(out.together));
        remedies.insert(remedies.end(), reason.remedies.begin(), reason.remedies.end());
        if (remedies.empty()) remedies.push_back(nothing_found);
    }

    const Problem& problem_;
    const LongWork& work_;
    const std::vector<Movable> limits_; // the two ways of the length last
    const Limit length_;
    double reserve_ = 0; // kept for the remedies while the limits in conflict are sought
    double left_ = 0;    // counted, not timed, so that the answer is the same everywhere
};

} // namespace

std::vector<Movable> movables(const Problem& problem) {
    std::vector<Movable> all = movable_limits(problem);
    for (Movable& way : movable_length(problem))
        all.push_back(std::move(way));
    return all;
}

Diagnosis diagnose(const Problem& problem, bool proven, const LongWork& work) {
    return Diagnoser(problem, work).run(proven);
}

} // namespace downball::solve
