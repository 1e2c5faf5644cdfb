// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/anneal.h"

#include "solve/edited_cut.h"
#include "solve/rally.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

namespace downball::solve {
namespace {

constexpr int drawn = 12;         // plays, of which the best is tried
constexpr double held_too = 0.25; // of those drawn that another shot shows

class Annealer {
  public:
    Annealer(const Setting& setting, const Rows& rows, const QualityTable& qualities, const Offers& offers,
             const std::vector<Pin>& pins, const Cut& start, std::uint64_t seed)
        : setting_(setting), offers_(offers), dice_(seed), edited_(setting, rows, qualities, pins, start),
          cut_(edited_.cut()), best_(start), best_score_(edited_.score()) {}

    Cut run(const Cooling& cooling, const LongWork& work) {
        double unit = 1 / setting_.grid.expected_shots;
        heat_ = cooling.hot * unit;
        std::size_t steps = 64;
        double fall = std::pow(cooling.cold / cooling.hot, 1.0 / static_cast<double>(steps));
        for (std::size_t step = 0; step < steps && !work.stop_asked(); ++step, heat_ *= fall)
            for (std::size_t n = 0; n < cooling.tries / steps; ++n)
                attempt();
        return best_;
    }

  private:
    // The best between these neighbours, blurred by the heat, of some plays; the front of a list is likelier.
    std::optional<std::size_t> draw(std::size_t slot, const Piece* before, const Piece* after) {
        const auto& plains = offers_.on(slot, Offers::plain);
        const auto& actions = offers_.on(slot, Offers::single);
        const bool action = plains.empty() || (!actions.empty() && dice_.below(4) > 0);
        const auto& list = action ? actions : plains;
        std::optional<std::size_t> best;
        double most = 0;
        for (int n = 0; n < drawn && !list.empty(); ++n) {
            const std::size_t p = near_front(list);
            if (edited_.holds(p) && dice_.unit() >= held_too) continue;
            // What it brings alone, blurred; the cuts into and out of it only cost.
            const double alone = edited_.alone(p, slot) + heat_ * (dice_.unit() + dice_.unit());
            if (best && alone <= most) continue;
            const double value = alone - edited_.joins(p, slot, before, after);
            if (best && value <= most) continue;
            best = p;
            most = value;
        }
        return best;
    }

    std::uint32_t near_front(const std::vector<std::uint32_t>& list) {
        const double u = dice_.unit();
        return list[static_cast<std::size_t>(u * u * static_cast<double>(list.size()))];
    }

    const Piece* shot(std::size_t n) const { return n < cut_.size() ? &cut_[n] : nullptr; }
    std::size_t slot_before(std::size_t n) const { return n > 0 ? cut_[n - 1].slot + 1 : 0; }
    std::size_t slot_after(std::size_t n) const {
        return n < cut_.size() ? cut_[n].slot : setting_.grid.slots.size();
    }

    void attempt() {
        std::size_t n = dice_.below(cut_.size());
        std::size_t kind = dice_.below(offers_.has_rallies() ? 20 : 16);
        if (kind >= 16)
            setting_.stock.plays[cut_[n].play].held > 1 && dice_.below(2) == 0 ? split(n) : join(n);
        else if (kind < 6)
            replace(n);
        else if (kind < 8)
            swap(n, dice_.below(cut_.size()));
        else if (kind < 10)
            shift(n);
        else
            redo(n, 1 + dice_.below(3));
    }

    // Another take in the place of shot n. Where another shot shows that contact, it gets shot n's, or one
    // of its own choice.
    void replace(std::size_t n) {
        auto play = draw(cut_[n].slot, shot(n - 1), shot(n + 1));
        if (!play || *play == cut_[n].play) return;
        edits_[0] = {n, 1};
        edits_[0].add(*play, cut_[n].slot);
        std::size_t holder = edited_.holder_of(*play);
        if (holder >= cut_.size() || holder == n) return decide(1);
        auto other = dice_.below(3) == 0 ? std::optional(cut_[n].play)
                                         : draw(cut_[holder].slot, shot(holder - 1), shot(holder + 1));
        if (!other) return;
        exchange(n, *play, holder, *other);
    }

    void swap(std::size_t a, std::size_t b) {
        if (a != b) exchange(a, cut_[b].play, b, cut_[a].play);
    }

    void exchange(std::size_t a, std::size_t for_a, std::size_t b, std::size_t for_b) {
        if (a > b) {
            std::swap(a, b);
            std::swap(for_a, for_b);
        }
        edits_[0] = {a, 1};
        edits_[0].add(for_a, cut_[a].slot);
        if (b - a > 2) {
            edits_[1] = {b, 1};
            edits_[1].add(for_b, cut_[b].slot);
            return decide(2);
        }
        edits_[0].removed = b - a + 1;
        if (b - a == 2) edits_[0].add(cut_[a + 1].play, cut_[a + 1].slot);
        edits_[0].add(for_b, cut_[b].slot);
        decide(1);
    }

    void shift(std::size_t n) {
        std::size_t low = slot_before(n), high = slot_after(n + 1);
        if (high - low < 2) return;
        std::size_t slot = low + dice_.below(high - low - 1);
        edits_[0] = {n, 1};
        edits_[0].add(cut_[n].play, slot < cut_[n].slot ? slot : slot + 1);
        decide(1);
    }

    // Some shots, perhaps none, give way to some others between the same neighbours.
    void redo(std::size_t n, std::size_t removed) {
        removed = std::min(removed, cut_.size() - n);
        if (dice_.below(4) == 0) removed = 0;
        std::size_t low = slot_before(n), high = slot_after(n + removed);
        std::size_t count = removed + dice_.below(3);
        count = count > 0 ? count - 1 : 0;
        if (removed == 0) count = 1;
        if (count > 3 || low + count > high || (n == 0 && count == 0)) return;
        std::array<std::size_t, 3> slots{};
        for (std::size_t k = 0; k < count; ++k)
            slots[k] = low + dice_.below(high - low);
        std::sort(slots.begin(), slots.begin() + static_cast<std::ptrdiff_t>(count));
        edits_[0] = {n, removed};
        bool same = count == removed;
        for (std::size_t k = 0; k < count; ++k) {
            if (k > 0 && slots[k] == slots[k - 1]) return;
            // As often as not a shot goes on with one of the takes that stood there.
            std::optional<std::size_t> play;
            if (removed > 0 && dice_.below(2) == 0)
                play = cut_[n + dice_.below(removed)].play;
            else
                play = draw(slots[k], k > 0 ? &edits_[0].shots[k - 1] : shot(n - 1),
                            k + 1 < count ? nullptr : shot(n + removed));
            if (!play) return;
            same = same && *play == cut_[n + k].play && slots[k] == cut_[n + k].slot;
            edits_[0].add(*play, slots[k]);
        }
        if (!same) decide(1);
    }

    // A rally in the place of shot n and of all that stand where it goes on.
    void join(std::size_t n) {
        const std::size_t slot = cut_[n].slot;
        const auto& rallies = offers_.on(slot, Offers::rally);
        if (rallies.empty()) return;
        const std::uint32_t p = near_front(rallies);
        const Play& play = setting_.stock.plays[p];
        const auto rally = on_beats(setting_.grid, setting_.clip_of(play), play, setting_.grid.slots[slot]);
        if (!rally) return;
        const std::int64_t until = setting_.grid.slots[rally->last().slot].frame + setting_.grid.tail;
        std::size_t removed = 1;
        while (n + removed < cut_.size() && cut_[n + removed].in < until)
            ++removed;
        if (removed > most_shots) return;
        Edit rally_here{n, removed};
        rally_here.add(p, slot);
        edits_[0] = rally_here;
        const std::size_t holder = edited_.holder_of(p, n, n + removed);
        if (holder == cut_.size()) return decide(1);
        auto other = draw(cut_[holder].slot, shot(holder - 1), shot(holder + 1));
        if (!other) return;
        Edit other_there{holder, 1};
        other_there.add(*other, cut_[holder].slot);
        edits_ = holder < n ? std::array{other_there, rally_here} : std::array{rally_here, other_there};
        if (edits_[1].at > edits_[0].at + edits_[0].removed + 1) decide(2);
    }

    // Other shots in the place of a rally; the first where it hung.
    void split(std::size_t n) {
        std::size_t low = cut_[n].slot, high = slot_after(n + 1);
        std::array<std::size_t, most_shots> slots{low, high, high, high}; // high = none
        const std::size_t count = std::min({2 + dice_.below(most_shots - 1), most_shots, high - low});
        for (std::size_t k = 1; k < count; ++k)
            slots[k] = low + 1 + dice_.below(high - low - 1);
        std::sort(slots.begin(), slots.end());
        edits_[0] = {n, 1};
        for (std::size_t k = 0; k < count; ++k) {
            auto play = draw(slots[k], k > 0 ? &edits_[0].shots[k - 1] : shot(n - 1),
                             k + 1 < count ? nullptr : shot(n + 1));
            if (!play || (k > 0 && slots[k] == slots[k - 1])) return;
            edits_[0].add(*play, slots[k]);
        }
        decide(1);
    }

    // Makes the first edits if the heat allows.
    void decide(std::size_t edits) {
        const double bar = heat_ * std::log(dice_.unit() + 1e-300);
        if (!edited_.change({edits_.data(), edits}, bar, dice_) || edited_.score() <= best_score_ + 1e-9)
            return;
        best_score_ = edited_.score();
        best_ = edited_.cut();
    }

    const Setting& setting_;
    const Offers& offers_;
    Dice dice_;
    EditedCut edited_;
    const Cut& cut_; // as it stands
    Cut best_;
    double best_score_, heat_ = 0;
    std::array<Edit, 2> edits_;
};

} // namespace

Cut anneal(const Setting& setting, const Rows& rows, const QualityTable& qualities, const Offers& offers,
           const std::vector<Pin>& pins, const Cut& start, const Cooling& cooling, const LongWork& work) {
    return Annealer(setting, rows, qualities, offers, pins, start, cooling.seed).run(cooling, work);
}

} // namespace downball::solve
