// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/exchange.h"

#include <algorithm>
#include <cmath>

namespace downball::solve {
namespace {

constexpr double worth_it = 1e-9;

// The play hung on the same slot with the same borders, if its placement allows them.
bool put(const Setting& setting, std::size_t play_index, Piece& piece, const Cut& cut, std::size_t n) {
    const Play& play = setting.stock.plays[play_index];
    const Slot& slot = setting.grid.slots[piece.slot];
    piece.play = play_index;
    if (play.impact < 0) {
        if (!slot.plain || slot.frame != piece.in) return false;
        Cut others = cut;
        others.erase(others.begin() + static_cast<std::ptrdiff_t>(n));
        auto source = free_source(setting, play_index, piece.out - piece.in, others);
        if (!source) return false;
        piece.source_in = *source;
        piece.error = 0;
        return true;
    }
    if (slot.beat < 0) return false;
    auto place = placement_at(setting.grid, setting.clip_of(play), play, slot, piece.in);
    if (!place) return false;
    piece.source_in = place->source_in;
    piece.error = place->error;
    return true;
}

// What of the score lies with shot n and its two cuts; enough to tell whether an exchange may pay, since
// coverage, freshness and story are added at their best.
double local_value(const Setting& setting, const Cut& cut, std::size_t n) {
    const Piece& piece = cut[n];
    const Play& play = setting.stock.plays[piece.play];
    const Slot& slot = setting.grid.slots[piece.slot];
    std::int64_t from = n == 0 ? 0 : slot.frame;
    bool last = n + 1 == cut.size();
    std::int64_t to = last ? setting.grid.length : setting.grid.slots[cut[n + 1].slot].frame;
    double span = static_cast<double>(to - from);
    double value = span / static_cast<double>(setting.grid.length) *
                   (quality(setting, play, slot, play.impact >= 0 ? piece.error : border_error(slot)) +
                    setting.weight[term::pace] * pace_value(slot, play.slow, span));
    double in_cost = n == 0 ? opening_cost(setting, play.clip)
                            : pair_cost(setting, setting.stock.plays[cut[n - 1].play].clip, play.clip);
    value -= slot.unit * (in_cost + slot_cost(setting, setting.clip_of(play), slot));
    if (!last) {
        const Slot& next = setting.grid.slots[cut[n + 1].slot];
        value -= next.unit * pair_cost(setting, play.clip, setting.stock.plays[cut[n + 1].play].clip);
    }
    return value;
}

class Improver {
  public:
    Improver(const Setting& setting, const Constructor& constructor, Cut& cut)
        : setting_(setting), constructor_(constructor), cut_(cut), score_(cut_score(setting, cut)),
          slack_(2 * coverage_gain(setting) * 4 + repeat_cost(setting) + setting.weight[term::story]) {}

    bool replace_each() {
        bool any = false;
        for (std::size_t n = 0; n < cut_.size(); ++n) {
            bool special = n == 0 || n + 1 == cut_.size() || setting_.grid.arrival == cut_[n].slot;
            double slack = special ? slack_ : slack_ - setting_.weight[term::story];
            for (std::size_t p = 0; p < setting_.stock.plays.size(); ++p) {
                if (p == cut_[n].play) continue;
                Piece old = cut_[n];
                double had = local_value(setting_, cut_, n);
                Piece piece = old;
                if (!put(setting_, p, piece, cut_, n)) continue;
                cut_[n] = piece;
                if (local_value(setting_, cut_, n) + slack > had && accept())
                    any = true;
                else
                    cut_[n] = old;
            }
        }
        return any;
    }

    bool swap_pairs() {
        bool any = false;
        for (std::size_t a = 0; a < cut_.size(); ++a)
            for (std::size_t b = a + 1; b < cut_.size(); ++b) {
                if (cut_[a].play == cut_[b].play) continue;
                Piece old_a = cut_[a], old_b = cut_[b];
                double had = local_value(setting_, cut_, a) + local_value(setting_, cut_, b);
                Piece new_a = old_a, new_b = old_b;
                if (!put(setting_, old_b.play, new_a, cut_, a) || !put(setting_, old_a.play, new_b, cut_, b))
                    continue;
                cut_[a] = new_a;
                cut_[b] = new_b;
                double has = local_value(setting_, cut_, a) + local_value(setting_, cut_, b);
                if (has + setting_.weight[term::story] / 1.5 > had && accept())
                    any = true;
                else {
                    cut_[a] = old_a;
                    cut_[b] = old_b;
                }
            }
        return any;
    }

    bool rebuild_windows(const ExchangeOptions& options, const LongWork& work) {
        bool any = false;
        std::size_t step = std::max<std::size_t>(1, options.window / 2);
        for (std::size_t from = 0; from < cut_.size(); from += step) {
            if (work.stop_asked()) return any;
            std::size_t to = std::min(cut_.size(), from + options.window);
            auto built = constructor_.build(cut_, from, to, options.width);
            if (!built) continue;
            double score = cut_score(setting_, *built);
            if (score <= score_ + worth_it || !constructor_.keeps_all(*built)) continue;
            cut_ = std::move(*built);
            score_ = score;
            any = true;
        }
        return any;
    }

  private:
    bool accept() {
        double score = cut_score(setting_, cut_);
        if (score <= score_ + worth_it || !constructor_.keeps_all(cut_)) return false;
        score_ = score;
        return true;
    }

    const Setting& setting_;
    const Constructor& constructor_;
    Cut& cut_;
    double score_;
    double slack_; // most that the terms outside local_value can gain
};

} // namespace

void improve(const Setting& setting, const Constructor& constructor, Cut& cut, const ExchangeOptions& options,
             const LongWork& work) {
    Improver improver(setting, constructor, cut);
    for (int round = 0; round < options.rounds && !work.stop_asked(); ++round) {
        bool any = improver.replace_each();
        any = improver.swap_pairs() || any;
        any = improver.rebuild_windows(options, work) || any;
        if (!any) break;
    }
}

} // namespace downball::solve
