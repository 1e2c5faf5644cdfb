// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/diagnose.h"
#include "solve/movable.h"
#include "solve/search.h"

#include "downball/base/text.h"

#include <algorithm>
#include <fmt/format.h>

namespace downball::solve {
namespace {

constexpr int left_out = -1;

class Conflicts {
  public:
    Conflicts(const Problem& problem, const LongWork& work)
        : problem_(problem), work_(work), limits_(movable_limits(problem)) {
        limits_.push_back(movable_length(problem));
        // A round of the relaxation looks at all shots that can be hung, on all places to hang them: a minute
        // cut from fifty takes has about 40 000 pairs of them, and a round takes some 10 ms.
        Setting setting = make_setting(problem);
        double size = static_cast<double>(setting.stock.plays.size() * setting.grid.slots.size());
        left_ = std::clamp(500 * 4e4 / std::max(1.0, size), 150.0, 1500.0);
        reserve_ = 0.6 * left_;
    }

    Conflict run(bool proven) {
        std::vector<std::size_t> kept = smallest(proven);
        Conflict conflict;
        conflict.proven = proven;
        for (std::size_t m : kept)
            conflict.limits.push_back(limits_[m].words);
        if (kept.empty())
            conflict.limits.push_back("the takes in the log cannot fill this length on these beats");
        else
            conflict.limits.push_back(limits_.back().words);
        conflict.remedies = remedies(kept);
        return conflict;
    }

    // Changes that were tried and leave a cut, each as small as its steps allow.
    std::vector<std::string> remedies(std::vector<std::size_t> suspects) {
        suspects.push_back(length());
        std::vector<std::string> alone, together;
        bool more_than_length = false;
        double joint = 0.7 * left_; // kept for changes of several limits
        for (std::size_t m : suspects) {
            if (left_ < joint && alone.empty()) continue;
            std::vector<int> steps(limits_.size());
            if (auto words = least_change(steps, m)) {
                alone.push_back(*words);
                more_than_length = more_than_length || m != length();
            }
        }
        if (!more_than_length) together = joint_change(suspects);
        std::vector<std::string> out;
        if (alone.size() == 1)
            out.push_back("this will do: " + alone.front());
        else if (alone.size() > 1)
            out.push_back("any one of these will do: " + join(alone, "; "));
        if (together.size() > 1)
            out.push_back("all of these together will do: " + join(together, "; "));
        else if (together.size() == 1)
            out.push_back("this will do: " + together.front());
        return out;
    }

    std::vector<std::size_t> all_but_length() const {
        std::vector<std::size_t> all(limits_.size() - 1);
        for (std::size_t m = 0; m < all.size(); ++m)
            all[m] = m;
        return all;
    }
    // A set of limits that cannot be met together at this length. What is not proven to be needless stays in
    // it if the conflict is proven. Whole stretches of limits are left out at once, then halves of them.
    std::vector<std::size_t> smallest(bool& proven, std::vector<int> steps = {}) {
        steps.resize(limits_.size());
        std::vector<std::size_t> kept;
        for (std::size_t m : all_but_length())
            if (steps[m] == 0) kept.push_back(m);
        bool sure = proven;
        for (std::size_t stretch = kept.size(); stretch > 0; stretch /= 2)
            for (std::size_t from = 0; from < kept.size();) {
                std::size_t to = std::min(kept.size(), from + stretch);
                std::vector<int> without = steps;
                for (std::size_t n = from; n < to; ++n)
                    without[kept[n]] = left_out;
                Found found = left_ > reserve_ ? try_with(without) : Found{};
                if (left_ <= reserve_ || found.cut || (proven && !found.impossible)) {
                    from = to;
                    continue;
                }
                sure = sure && found.impossible;
                steps = without;
                kept.erase(kept.begin() + static_cast<std::ptrdiff_t>(from),
                           kept.begin() + static_cast<std::ptrdiff_t>(to));
            }
        proven = sure;
        return kept;
    }

  private:
    std::size_t length() const { return limits_.size() - 1; }

    Found try_with(const std::vector<int>& steps) {
        if (left_ <= 0 || work_.stop_asked()) {
            left_ = 0;
            return {};
        }
        Moved moved{problem_.limits, problem_.log};
        for (std::size_t m = 0; m < limits_.size(); ++m) {
            if (steps[m] == left_out) limits_[m].drop(moved);
            if (steps[m] > 0) limits_[m].loosen(moved, steps[m]);
        }
        std::erase_if(moved.limits.locks, [](const Lock& lock) { return lock.shot.empty(); });
        Problem problem{problem_.beats, moved.log, moved.limits, problem_.song_start_s};
        Setting setting = make_setting(problem);
        if (plain_conflict(setting)) {
            Found none;
            none.impossible = true;
            return none;
        }
        Found found = search(setting, {true, 0.1}, work_);
        left_ -= 1 + found.work;
        return found;
    }

    // The nearest step of limit m at which a cut is found, the other limits standing as `steps` say, which
    // gets it; nothing if none was found.
    std::optional<std::string> least_change(std::vector<int>& steps, std::size_t m) {
        const Movable& limit = limits_[m];
        int best = 0;
        auto works = [&](int step) {
            steps[m] = step;
            return try_with(steps).cut.has_value();
        };
        if (!limit.nested) {
            for (int step = 1; step <= limit.steps && best == 0; ++step)
                if (works(step)) best = step;
            if (best == 0 && works(left_out)) best = left_out;
        } else if (works(left_out)) {
            best = left_out;
            // From small steps on, since most conflicts are near.
            int low = 0, high = 1;
            while (high <= limit.steps && !works(high)) {
                low = high;
                high *= 2;
            }
            if (high <= limit.steps) best = high;
            for (high = std::min(high, limit.steps); high - low > 1;) {
                int middle = (low + high) / 2;
                if (works(middle))
                    best = high = middle;
                else
                    low = middle;
            }
            if (best == left_out && limit.steps > low && works(limit.steps)) best = limit.steps;
        }
        steps[m] = best;
        if (best == 0) return std::nullopt;
        return best == left_out ? limit.dropped : limit.loosened(best);
    }

    // All suspects are left out; then each is put back as far as the others allow.
    std::vector<std::string> joint_change(const std::vector<std::size_t>& suspects) {
        std::vector<int> steps(limits_.size());
        std::vector<std::size_t> changed(suspects.begin(), suspects.end() - 1);
        for (std::size_t m : changed)
            steps[m] = left_out;
        if (changed.empty() || !try_with(steps).cut) return {};
        std::vector<std::string> words;
        // The back of the list holds what is asked least on purpose, so it is put back first.
        for (std::size_t stretch = (changed.size() + 1) / 2; stretch > 0; stretch /= 2)
            for (std::size_t to = changed.size(); to > 0; to -= std::min(to, stretch)) {
                std::vector<int> with = steps;
                for (std::size_t n = to - std::min(to, stretch); n < to; ++n)
                    with[changed[n]] = 0;
                if (with != steps && try_with(with).cut) steps = with;
            }
        for (std::size_t m : changed) {
            if (steps[m] == 0) continue;
            auto change = least_change(steps, m);
            if (!change) {
                steps[m] = left_out;
                change = limits_[m].dropped;
            }
            words.push_back(*change);
        }
        return words;
    }

    const Problem& problem_;
    const LongWork& work_;
    std::vector<Movable> limits_; // the length last
    double reserve_ = 0;          // kept for the remedies while the limits in conflict are sought
    double left_ = 0;             // counted, not timed, so that the answer is the same everywhere
};

} // namespace

Conflict conflict_by_search(const Problem& problem, bool proven, const LongWork& work) {
    Conflict conflict = Conflicts(problem, work).run(proven);
    if (conflict.remedies.empty()) conflict.remedies.push_back(nothing_found);
    return conflict;
}

std::vector<std::string> remedies_by_search(const Problem& problem, const LongWork& work) {
    Conflicts conflicts(problem, work);
    bool proven = false;
    return conflicts.remedies(conflicts.smallest(proven));
}

} // namespace downball::solve
