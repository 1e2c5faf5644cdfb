// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/exchange.h"

#include <algorithm>
#include <cmath>

namespace downball::solve {
namespace {

constexpr double worth_it = 1e-9;

// How often each player, skill and take is shown; coverage and freshness follow from it.
class Counts {
  public:
    Counts(const Setting& setting, const Cut& cut)
        : setting_(&setting), players_(setting.stock.player_names.size()), skills_(8),
          clips_(setting.stock.clips.size()), gain_(coverage_gain(setting)), repeat_(repeat_cost(setting)) {
        for (const Piece& piece : cut)
            add(piece.play);
    }
    // Both return the points won.
    double add(std::size_t p) {
        const Play& play = setting_->stock.plays[p];
        double points = clips_[play.clip]++ > 0 ? -repeat_ : 0;
        for (int player : setting_->stock.clip_players[play.clip])
            if (players_[static_cast<std::size_t>(player)]++ == 0) points += gain_;
        for (int skill : play.skills)
            if (skills_[static_cast<std::size_t>(skill)]++ == 0) points += gain_;
        return points;
    }
    double remove(std::size_t p) {
        const Play& play = setting_->stock.plays[p];
        double points = --clips_[play.clip] > 0 ? repeat_ : 0;
        for (int player : setting_->stock.clip_players[play.clip])
            if (--players_[static_cast<std::size_t>(player)] == 0) points -= gain_;
        for (int skill : play.skills)
            if (--skills_[static_cast<std::size_t>(skill)] == 0) points -= gain_;
        return points;
    }

  private:
    const Setting* setting_;
    std::vector<int> players_, skills_, clips_;
    double gain_, repeat_;
};

class Improver {
  public:
    Improver(const Setting& setting, const Constructor& constructor, Cut& cut)
        : setting_(setting), constructor_(constructor), cut_(cut), score_(cut_score(setting, cut)),
          counts_(setting, cut) {}

    bool replace_each() {
        bool any = false;
        for (std::size_t n = 0; n < cut_.size(); ++n)
            for (std::size_t p = 0; p < setting_.stock.plays.size(); ++p) {
                const Piece old = cut_[n];
                double had = local_value(n);
                if (p == old.play || !hang(p, n)) continue;
                double won = local_value(n) - had + counts_.remove(old.play) + counts_.add(p);
                if (won > worth_it && accept(n, n)) {
                    any = true;
                    continue;
                }
                counts_.remove(p);
                counts_.add(old.play);
                cut_[n] = old;
            }
        return any;
    }

    bool swap_pairs() {
        bool any = false;
        for (std::size_t a = 0; a < cut_.size(); ++a)
            for (std::size_t b = a + 1; b < cut_.size(); ++b) {
                const Piece old_a = cut_[a], old_b = cut_[b];
                double had = local_value(a) + local_value(b);
                if (old_a.play == old_b.play) continue;
                bool hung = hang(old_b.play, a) && hang(old_a.play, b);
                // Neighbours share a cut, which the two local values count twice: left to the score.
                if (hung && (b == a + 1 || local_value(a) + local_value(b) > had + worth_it) &&
                    accept(a, b)) {
                    any = true;
                    continue;
                }
                cut_[a] = old_a;
                cut_[b] = old_b;
            }
        return any;
    }

    // A shot takes another's contact because it gains by it; the robbed shot gets the best that is left.
    bool rob_and_refill() {
        bool any = false;
        for (std::size_t a = 0; a < cut_.size(); ++a)
            for (std::size_t b = 0; b < cut_.size(); ++b)
                if (a + 1 < b || b + 1 < a) any = rob(a, b) || any;
        return any;
    }

    void rebuild_windows(const Round& round, const LongWork& work) {
        std::size_t step = std::max<std::size_t>(1, round.window / 2);
        for (std::size_t from = 0; from < cut_.size(); from += step) {
            if (work.stop_asked()) return;
            std::size_t to = std::min(cut_.size(), from + round.window);
            auto built = constructor_.build(cut_, from, to, round.width);
            if (!built) continue;
            double score = cut_score(setting_, *built);
            if (score <= score_ + worth_it || !constructor_.keeps_all(*built)) continue;
            cut_ = std::move(*built);
            score_ = score;
            counts_ = Counts(setting_, cut_);
        }
    }

    Improver(const Improver&) = delete;
    Improver& operator=(const Improver&) = delete;

  private:
    // What of the score lies with shot n and its two cuts, but for coverage and freshness.
    double local_value(std::size_t n) const {
        const Piece& piece = cut_[n];
        const Play& play = setting_.stock.plays[piece.play];
        const Clip& clip = setting_.clip_of(play);
        const auto& slots = setting_.grid.slots;
        const Slot& slot = slots[piece.slot];
        bool last = n + 1 == cut_.size();
        std::int64_t to = last ? setting_.grid.length : slots[cut_[n + 1].slot].frame;
        auto span = static_cast<double>(to - (n == 0 ? 0 : slot.frame));
        double value = span / static_cast<double>(setting_.grid.length) *
                       (quality(setting_, play, slot, play.impact >= 0 ? piece.error : border_error(slot)) +
                        setting_.weight[term::pace] * pace_value(slot, play.slow, span));
        double in_cost =
            n == 0 ? opening_cost(setting_, play.clip) : pair_cost(setting_, cut_[n - 1].play, piece.play);
        value -= slot.unit * (in_cost + slot_cost(setting_, clip, slot));
        if (!last) value -= slots[cut_[n + 1].slot].unit * pair_cost(setting_, piece.play, cut_[n + 1].play);
        double story = arrival_value(setting_, play, piece.slot);
        if (n == 0) story += opening_value(setting_, clip);
        if (last) story += ending_value(setting_, clip);
        return value + setting_.weight[term::story] * story;
    }

    // Hangs a play on shot n's slot within its borders, if a placement allows them. The source of a shot
    // without contact is left open.
    bool hang(std::size_t p, std::size_t n) {
        const Play& play = setting_.stock.plays[p];
        Piece& piece = cut_[n];
        const Slot& slot = setting_.grid.slots[piece.slot];
        if (play.impact < 0) {
            if (!slot.plain || slot.frame != piece.in) return false;
            piece.play = p;
            piece.error = 0;
            return true;
        }
        if (slot.beat < 0) return false;
        auto place = placement_at(setting_.grid, setting_.clip_of(play), play, slot, piece.in);
        if (!place) return false;
        piece.play = p;
        piece.source_in = place->source_in;
        piece.error = place->error;
        return true;
    }

    bool rob(std::size_t a, std::size_t b) {
        const Piece old_a = cut_[a], old_b = cut_[b];
        double had = local_value(a);
        if (!hang(old_b.play, a) || local_value(a) <= had + worth_it) {
            cut_[a] = old_a;
            return false;
        }
        double won = local_value(a) - had;
        double lost = local_value(b);
        won += counts_.remove(old_a.play);
        for (std::size_t p = 0; p < setting_.stock.plays.size(); ++p) {
            cut_[b] = old_b;
            if (p == old_b.play || p == old_a.play || !hang(p, b)) continue;
            double all = won + local_value(b) - lost + counts_.add(p);
            if (all > worth_it && accept(a, b)) return true;
            counts_.remove(p);
        }
        counts_.add(old_a.play);
        cut_[a] = old_a;
        cut_[b] = old_b;
        return false;
    }

    bool give_source(std::size_t n) {
        Piece& piece = cut_[n];
        if (setting_.stock.plays[piece.play].impact >= 0) return true;
        Cut others = cut_;
        others.erase(others.begin() + static_cast<std::ptrdiff_t>(n));
        auto source = free_source(setting_, piece.play, piece.out - piece.in, others);
        if (source) piece.source_in = *source;
        return source.has_value();
    }

    bool stands(std::size_t n) const {
        if (!fits(setting_, cut_[n])) return false;
        for (std::size_t other = 0; other < cut_.size(); ++other)
            if (other != n && clash(setting_, cut_[std::min(n, other)], cut_[std::max(n, other)]))
                return false;
        return true;
    }

    bool accept(std::size_t a, std::size_t b) {
        if (!give_source(a) || !stands(a)) return false;
        if (a != b && (!give_source(b) || !stands(b))) return false;
        double score = cut_score(setting_, cut_);
        if (score <= score_ + worth_it || !constructor_.keeps_all(cut_)) return false;
        score_ = score;
        return true;
    }

    const Setting& setting_;
    const Constructor& constructor_;
    Cut& cut_;
    double score_;
    Counts counts_;
};

} // namespace

void improve(const Setting& setting, const Constructor& constructor, Cut& cut,
             const std::vector<Round>& rounds, const LongWork& work) {
    Improver improver(setting, constructor, cut);
    auto climb = [&] {
        while (!work.stop_asked() &&
               (improver.replace_each() || improver.swap_pairs() || improver.rob_and_refill())) {
        }
    };
    for (const Round& round : rounds) {
        climb();
        improver.rebuild_windows(round, work);
    }
    climb();
}

} // namespace downball::solve
