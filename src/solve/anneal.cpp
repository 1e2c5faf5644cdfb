// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/anneal.h"

#include "solve/counts.h"
#include "solve/rally.h"

#include "downball/base/splitmix64.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace downball::solve {
namespace {

class Dice : public SplitMix64 {
  public:
    using SplitMix64::SplitMix64;

    std::size_t below(std::size_t n) {
        return static_cast<std::size_t>((next() >> 32) * static_cast<std::uint64_t>(n) >> 32);
    }
};

constexpr std::size_t most_shots = 4; // that give way at once, or that come

// Shots [at, at + removed) of a cut give way to others.
struct Edit {
    std::size_t at = 0, removed = 0, count = 0;
    std::array<Piece, most_shots> shots;

    void add(std::size_t play, std::size_t slot) {
        shots[count] = Piece{};
        shots[count].play = play;
        shots[count++].slot = slot;
    }
};

class Annealer {
  public:
    Annealer(const Setting& setting, const Rows& rows, const Offers& offers, const std::vector<Pin>& pins,
             const Cut& start, std::uint64_t seed)
        : setting_(setting), rows_(rows), offers_(offers), pins_(pins), dice_(seed), cut_(start),
          counts_(setting, start), best_(start) {
        chronological_ = setting.problem.limits.story.order == Order::chronological;
        for (std::size_t n = 0; n < cut_.size(); ++n)
            worth_.push_back(worth(n));
        watch_rows();
        score_ = best_score_ = cut_score(setting, start);
    }

    Cut run(const Cooling& cooling, const LongWork& work) {
        double unit = 1 / setting_.grid.expected_shots;
        double heat = cooling.hot * unit;
        std::size_t steps = 64;
        double fall = std::pow(cooling.cold / cooling.hot, 1.0 / static_cast<double>(steps));
        for (std::size_t step = 0; step < steps && !work.stop_asked(); ++step, heat *= fall)
            for (std::size_t n = 0; n < cooling.tries / steps; ++n)
                attempt(heat);
        return best_;
    }

  private:
    const Play& play_of(const Piece& piece) const { return setting_.stock.plays[piece.play]; }
    const Slot& slot_of(const Piece& piece) const { return setting_.grid.slots[piece.slot]; }

    // What of the score lies with shot n and the cut into it, but for coverage and freshness.
    double worth(std::size_t n) const {
        const Piece& piece = cut_[n];
        const Play& play = play_of(piece);
        const Clip& clip = setting_.clip_of(play);
        const Slot& slot = slot_of(piece);
        bool last = n + 1 == cut_.size();
        std::int64_t to = last ? setting_.grid.length : slot_of(cut_[n + 1]).frame;
        auto span = static_cast<double>(to - (n == 0 ? 0 : slot.frame));
        double value = span / static_cast<double>(setting_.grid.length) *
                       (quality(setting_, play, slot, play.impact >= 0 ? piece.error : border_error(slot)) +
                        setting_.weight[term::pace] * pace_value(slot, play.slow, span));
        double into =
            n == 0 ? opening_cost(setting_, play.clip) : pair_cost(setting_, cut_[n - 1].play, piece.play);
        value -= slot.unit * (into + slot_cost(setting_, clip, slot));
        double story = arrival_value(setting_, play, piece.slot);
        if (n == 0) story += opening_value(setting_, clip);
        if (last) story += ending_value(setting_, clip);
        return value + setting_.weight[term::story] * story;
    }

    // The front of a list is likelier: it holds what is worth most at the prices of the relaxation.
    std::optional<std::size_t> draw(std::size_t slot) {
        const auto& actions = offers_.on(slot, Offers::single);
        const auto& plains = offers_.on(slot, Offers::plain);
        bool action = plains.empty() || (!actions.empty() && dice_.below(4) > 0);
        const auto& list = action ? actions : plains;
        if (list.empty()) return std::nullopt;
        return near_front(list);
    }
    std::uint32_t near_front(const std::vector<std::uint32_t>& list) {
        double u = dice_.unit();
        return list[static_cast<std::size_t>(u * u * static_cast<double>(list.size()))];
    }

    std::size_t slot_before(std::size_t n) const { return n > 0 ? cut_[n - 1].slot + 1 : 0; }
    std::size_t slot_after(std::size_t n) const {
        return n < cut_.size() ? cut_[n].slot : setting_.grid.slots.size();
    }

    void attempt(double heat) {
        heat_ = heat;
        std::size_t n = dice_.below(cut_.size());
        std::size_t kind = dice_.below(offers_.has_rallies() ? 20 : 16);
        if (kind >= 16)
            play_of(cut_[n]).held > 1 && dice_.below(2) == 0 ? split(n) : join(n);
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
        auto play = draw(cut_[n].slot);
        if (!play || *play == cut_[n].play) return;
        edits_[0] = {n, 1, 0, {}};
        edits_[0].add(*play, cut_[n].slot);
        std::size_t holder = holder_of(*play);
        if (holder >= cut_.size() || holder == n) return decide(1);
        auto other = dice_.below(3) == 0 ? std::optional(cut_[n].play) : draw(cut_[holder].slot);
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
        edits_[0] = {a, 1, 0, {}};
        edits_[0].add(for_a, cut_[a].slot);
        if (b - a > 2) {
            edits_[1] = {b, 1, 0, {}};
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
        edits_[0] = {n, 1, 0, {}};
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
        edits_[0] = {n, removed, 0, {}};
        for (std::size_t k = 0; k < count; ++k) {
            if (k > 0 && slots[k] == slots[k - 1]) return;
            // As often as not a shot goes on with one of the takes that stood there.
            std::optional<std::size_t> play;
            if (removed > 0 && dice_.below(2) == 0)
                play = cut_[n + dice_.below(removed)].play;
            else
                play = draw(slots[k]);
            if (!play) return;
            edits_[0].add(*play, slots[k]);
        }
        decide(1);
    }

    // A rally in the place of shot n and of all that stand where it goes on.
    void join(std::size_t n) {
        const std::size_t slot = cut_[n].slot;
        const auto& rallies = offers_.on(slot, Offers::rally);
        if (rallies.empty()) return;
        const std::uint32_t p = near_front(rallies);
        const Play& play = setting_.stock.plays[p];
        const auto rally = on_beats(setting_.grid, setting_.clip_of(play), play, slot_of(cut_[n]));
        if (!rally) return;
        const std::int64_t until = setting_.grid.slots[rally->last().slot].frame + setting_.grid.tail;
        std::size_t removed = 1;
        while (n + removed < cut_.size() && cut_[n + removed].in < until)
            ++removed;
        if (removed > most_shots) return;
        const auto holder = holder_outside(p, n, n + removed);
        if (!holder) return;
        Edit rally_here{n, removed, 0, {}};
        rally_here.add(p, slot);
        edits_[0] = rally_here;
        if (*holder == cut_.size()) return decide(1);
        auto other = draw(cut_[*holder].slot);
        if (!other) return;
        const bool before = *holder < n;
        Edit other_there{*holder, 1, 0, {}};
        other_there.add(*other, cut_[*holder].slot);
        edits_ = before ? std::array{other_there, rally_here} : std::array{rally_here, other_there};
        if (edits_[1].at > edits_[0].at + edits_[0].removed + 1) decide(2);
    }

    // The one shot outside that holds a contact of the play, the number of shots if there is none; nothing if there
    // are several.
    std::optional<std::size_t> holder_outside(std::size_t p, std::size_t from, std::size_t to) const {
        std::size_t found = cut_.size();
        for (std::size_t n = 0; n < cut_.size(); ++n) {
            if ((n >= from && n < to) || !hold_same(play_of(cut_[n]), setting_.stock.plays[p])) continue;
            if (found < cut_.size()) return std::nullopt;
            found = n;
        }
        return found;
    }

    // Other shots, at most four, in the place of a rally; the first where it hung.
    void split(std::size_t n) {
        std::size_t low = cut_[n].slot, high = slot_after(n + 1);
        std::array<std::size_t, most_shots> slots{low, high, high, high}; // high = none
        const std::size_t count = std::min({2 + dice_.below(most_shots - 1), most_shots, high - low});
        for (std::size_t k = 1; k < count; ++k)
            slots[k] = low + 1 + dice_.below(high - low - 1);
        std::sort(slots.begin(), slots.end());
        edits_[0] = {n, 1, 0, {}};
        for (std::size_t k = 0; k < count; ++k) {
            auto play = draw(slots[k]);
            if (!play || (k > 0 && slots[k] == slots[k - 1])) return;
            edits_[0].add(*play, slots[k]);
        }
        decide(1);
    }

    std::size_t holder_of(std::size_t p) const {
        const Play& play = setting_.stock.plays[p];
        if (play.impact < 0) return cut_.size();
        for (std::size_t n = 0; n < cut_.size(); ++n) {
            const Play& its = play_of(cut_[n]);
            if (hold_same(its, play)) return n;
        }
        return cut_.size();
    }

    // Gives each new shot its first frame, the old one by preference, and checks what lies with the shots
    // alone.
    bool place(Edit& edit) {
        std::size_t next = edit.at + edit.removed;
        std::int64_t end = next < cut_.size() ? cut_[next].in : setting_.grid.length;
        Piece before = edit.at > 0 ? cut_[edit.at - 1] : Piece{};
        bool has_before = edit.at > 0;
        for (std::size_t k = 0; k < edit.count; ++k) {
            std::int64_t liked = edit.at + k < next ? cut_[edit.at + k].in : -1;
            if (!begin(edit.shots[k], has_before ? &before : nullptr, liked)) return false;
            if (k > 0) edit.shots[k - 1].out = edit.shots[k].in;
            before = edit.shots[k];
            has_before = true;
        }
        before.out = end;
        if (edit.count > 0) edit.shots[edit.count - 1].out = end;
        return has_before && fits(setting_, before);
    }

    bool begin(Piece& piece, Piece* before, std::int64_t liked) {
        const Play& play = play_of(piece);
        const Slot& slot = slot_of(piece);
        auto ends_well = [&](std::int64_t in) {
            if (!before) return in == 0;
            before->out = in;
            return fits(setting_, *before);
        };
        if (play.impact < 0) {
            piece.in = slot.frame;
            piece.source_in = setting_.clip_of(play).first;
            return slot.plain && ends_well(piece.in);
        }
        if (slot.beat < 0) return false;
        auto try_at = [&](std::int64_t in) {
            auto found = placement_at(setting_.grid, setting_.clip_of(play), play, slot, in);
            if (!found || !ends_well(in)) return false;
            piece.stand(*found);
            return true;
        };
        if (!before) return try_at(0);
        if (liked >= 0 && try_at(liked)) return true;
        std::int64_t many = play.lead_max - setting_.grid.lead_min + 1;
        auto turn = static_cast<std::int64_t>(dice_.below(static_cast<std::size_t>(many)));
        for (std::int64_t k = 0; k < many; ++k)
            if (try_at(slot.frame - setting_.grid.lead_min - (k + turn) % many)) return true;
        return false;
    }

    void put_in(const Edit& edit) {
        auto at = cut_.begin() + static_cast<std::ptrdiff_t>(edit.at);
        auto shots = edit.shots.begin();
        std::size_t common = std::min(edit.removed, edit.count);
        std::copy(shots, shots + static_cast<std::ptrdiff_t>(common), at);
        at += static_cast<std::ptrdiff_t>(common);
        if (edit.removed > common)
            cut_.erase(at, at + static_cast<std::ptrdiff_t>(edit.removed - common));
        else
            cut_.insert(at, shots + static_cast<std::ptrdiff_t>(common),
                        shots + static_cast<std::ptrdiff_t>(edit.count));
        if (edit.at > 0) cut_[edit.at - 1].out = out_of(edit.at - 1);
    }
    std::int64_t out_of(std::size_t n) const {
        return n + 1 < cut_.size() ? cut_[n + 1].in : setting_.grid.length;
    }

    // One edit, or two far apart, in order. Takes them if the heat allows.
    void decide(std::size_t edits) {
        double points = 0;
        for (std::size_t e = 0; e < edits; ++e)
            if (!place(edits_[e])) return;
        std::array<Edit, 2> back;
        std::array<Piece, 2> ahead;
        for (std::size_t e = 0; e < edits; ++e) {
            const Edit& edit = edits_[e];
            back[e] = {edit.at, edit.count, edit.removed, {}};
            if (edit.at > 0) ahead[e] = cut_[edit.at - 1];
            for (std::size_t k = 0; k < edit.removed; ++k) {
                back[e].shots[k] = cut_[edit.at + k];
                points += counts_.remove(cut_[edit.at + k].play);
            }
            for (std::size_t k = 0; k < edit.count; ++k)
                points += counts_.add(edit.shots[k].play);
            std::size_t low = edit.at > 0 ? edit.at - 1 : 0;
            for (std::size_t n = low; n <= edit.at + edit.removed && n < cut_.size(); ++n)
                points -= worth_[n];
        }
        put_in(edits_[0]);
        if (edits == 2) {
            edits_[1].at += edits_[0].count;
            edits_[1].at -= edits_[0].removed;
            put_in(edits_[1]);
        }
        std::array<double, 12> fresh{};
        std::size_t known = 0;
        for (std::size_t e = 0; e < edits; ++e)
            for (std::size_t n = first_touched(e); n <= last_touched(e); ++n)
                points += fresh[known++] = worth(n);
        if (points > heat_ * std::log(dice_.unit() + 1e-300) && stand(edits)) {
            take_over(edits, fresh);
            score_ += points;
            if (score_ > best_score_ + 1e-9) {
                best_score_ = score_;
                best_ = cut_;
            }
            return;
        }
        for (std::size_t e = 0; e < edits; ++e) {
            for (std::size_t k = 0; k < edits_[e].count; ++k)
                counts_.remove(edits_[e].shots[k].play);
            for (std::size_t k = 0; k < back[e].count; ++k)
                counts_.add(back[e].shots[k].play);
            put_in(back[e]);
            if (back[e].at > 0) cut_[back[e].at - 1] = ahead[e];
        }
    }

    // Shots whose worth an edit moves: one before it, its own, one after.
    std::size_t first_touched(std::size_t e) const { return edits_[e].at > 0 ? edits_[e].at - 1 : 0; }
    std::size_t last_touched(std::size_t e) const {
        return std::min(edits_[e].at + edits_[e].count, cut_.size() - 1);
    }

    void take_over(std::size_t edits, const std::array<double, 12>& fresh) {
        std::size_t known = 0;
        for (std::size_t e = 0; e < edits; ++e) {
            const Edit& edit = edits_[e];
            auto at = worth_.begin() + static_cast<std::ptrdiff_t>(edit.at);
            if (edit.count > edit.removed)
                worth_.insert(at, edit.count - edit.removed, 0);
            else
                worth_.erase(at, at + static_cast<std::ptrdiff_t>(edit.removed - edit.count));
            for (std::size_t n = first_touched(e); n <= last_touched(e); ++n)
                worth_[n] = fresh[known++];
        }
    }

    // Limits that need other shots: no two clash, numbers and shares, locks.
    bool stand(std::size_t edits) {
        for (std::size_t e = 0; e < edits; ++e)
            for (std::size_t n = first_touched(e); n < edits_[e].at + edits_[e].count; ++n)
                if (!stands(n)) return false;
        return keeps_numbers() && keeps_pins(setting_, pins_, cut_);
    }

    // keeps_rows() for the few rows that are hard and count shots or frames.
    bool keeps_numbers() {
        std::fill(sums_.begin(), sums_.end(), 0);
        auto count = [&](const std::vector<std::size_t>& rows, double times) {
            for (std::size_t r : rows)
                if (watched_[r] > 0) sums_[watched_[r] - 1] += rows_.rows[r].use * times;
        };
        for (const Piece& piece : cut_) {
            count(rows_.of_clip[play_of(piece).clip], 1);
            for (const RowUse& its : rows_.of_play[piece.play])
                if (watched_[its.row] > 0) sums_[watched_[its.row] - 1] += its.use;
            count(rows_.length_of[piece.play], static_cast<double>(piece.out - piece.in));
        }
        for (std::size_t n = 0; n < sums_.size(); ++n)
            if (sums_[n] > most_[n] + 1e-9) return false;
        return true;
    }

    void watch_rows() {
        for (const Row& row : rows_.rows) {
            bool counts = !row.soft() && row.kind != Row::Kind::point && row.kind != Row::Kind::moment;
            if (counts) most_.push_back(row.most);
            watched_.push_back(counts ? most_.size() : 0);
        }
        sums_.resize(most_.size());
    }

    bool stands(std::size_t n) {
        Piece& piece = cut_[n];
        const Play& play = play_of(piece);
        const Clip& clip = setting_.clip_of(play);
        same_file_.clear();
        for (std::size_t other = 0; other < cut_.size(); ++other) {
            if (other == n) continue;
            const Clip& its = setting_.clip_of(play_of(cut_[other]));
            if (its.media == clip.media) same_file_.push_back(cut_[other]);
            bool close = its.media == clip.media || (clip.moment >= 0 && its.moment == clip.moment);
            if (!close && !chronological_) continue;
            const Piece& a = cut_[std::min(n, other)];
            const Piece& b = cut_[std::max(n, other)];
            if (play.impact < 0 ? contradict(setting_, a, b) : clash(setting_, a, b)) return false;
        }
        if (play.impact >= 0) return true;
        auto source = free_source(setting_, piece.play, piece.out - piece.in, same_file_);
        if (source) piece.source_in = *source;
        return source.has_value();
    }

    const Setting& setting_;
    const Rows& rows_;
    const Offers& offers_;
    const std::vector<Pin>& pins_;
    Dice dice_;
    Cut cut_;
    std::vector<double> worth_; // by shot
    Counts counts_;
    std::vector<std::size_t> watched_; // by row: place in sums_, from 1; 0 = not watched
    std::vector<double> sums_, most_;
    Cut best_, same_file_;
    std::array<Edit, 2> edits_;
    double score_ = 0, best_score_ = 0, heat_ = 0;
    bool chronological_ = false;
};

} // namespace

Cut anneal(const Setting& setting, const Rows& rows, const Constructor& constructor, const Offers& offers,
           const std::vector<Pin>& pins, const Cut& start, const Cooling& cooling, const LongWork& work) {
    Cut cut = Annealer(setting, rows, offers, pins, start, cooling.seed).run(cooling, work);
    return constructor.keeps_all(cut) ? cut : start;
}

} // namespace downball::solve
