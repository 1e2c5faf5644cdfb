// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/search.h"

#include "solve/anneal.h"
#include "solve/closing.h"
#include "solve/prices.h"

#include <algorithm>
#include <cmath>
#include <future>

namespace downball::solve {
namespace {

// Work is bounded by counting, never by a clock, so that the same problem gives the same cut. One round of
// the relaxation looks at about plays x arcs states; 1e8 of them take about half a second.
int rounds_affordable(const Setting& setting, const Arcs& arcs, double scale) {
    double states = 0;
    for (std::size_t s = 0; s < setting.grid.slots.size(); ++s)
        states += static_cast<double>(arcs.action[s].size() + arcs.plain[s].size());
    states *= static_cast<double>(setting.stock.plays.size());
    return static_cast<int>(std::clamp(scale * 1e8 / std::max(1.0, states), 40.0 * scale, 120.0 * scale));
}

constexpr double tries_a_shot = 6000; // of annealing

class Search {
  public:
    Search(const Setting& setting, const Effort& effort, const LongWork& work)
        : setting_(setting), effort_(effort), work_(work), pins_(make_pins(setting)),
          rows_(make_rows(setting)), arcs_(make_arcs(setting, pins_)),
          relaxation_(setting, rows_, arcs_, pins_), constructor_(setting, rows_, arcs_, relaxation_, pins_) {
    }

    Found run() {
        if (impossible()) return found_;
        Prices prices(rows_);
        int rounds = rounds_affordable(setting_, arcs_, effort_.scale);
        int next_build = 0, gap = std::max(4, rounds / 8);
        for (int round = 0; round < rounds && !prices.settled() && !done(prices.bound()); ++round) {
            if (work_.stop_asked() && found_.cut) break;
            auto answer = relaxation_.solve(prices.now());
            found_.work += 1;
            std::vector<double> at = prices.now();
            prices.move(answer, target(answer.bound));
            if (round == next_build || round + 1 == rounds || prices.settled()) {
                build(round == next_build ? at : prices.best(), width_at(round, rounds));
                next_build = round + gap;
                if (round == 0 && !found_.cut) seek_proof_of_none();
                if (found_.impossible) return found_;
            }
            work_.report(0.8 * (round + 1) / rounds);
            if (effort_.first_is_enough && found_.cut) return found_;
        }
        found_.limit = prices.bound();
        if (!found_.cut) try_harder(prices.best());
        if (found_.cut && !done(found_.limit)) {
            constructor_.set_prices(prices.best());
            polish();
        }
        if (!found_.impossible && !done(found_.limit)) close(prices.best());
        found_.limit = std::max(found_.limit, found_.score);
        work_.report(1);
        return found_;
    }

  private:
    bool done(double bound) const {
        return found_.cut && bound - found_.score <= 1e-9 * std::max(1.0, std::abs(bound));
    }

    double target(double bound) const {
        // Gaps end up near 1 %; the score of a first cut lies far lower and would ask for too long steps.
        double guess = bound - 0.01 * std::max(1.0, std::abs(bound));
        return found_.cut ? std::max(found_.score, guess) : guess;
    }

    // Where the day may not go back, most partial cuts run into a dead end, so that more are kept.
    BeamWidth width_at(int round, int rounds) const {
        if (setting_.problem.limits.story.order == Order::chronological) return {60, 40};
        return round * 2 < rounds ? BeamWidth{10, 16} : BeamWidth{16, 20};
    }

    // Builds; if only "at least" conditions are missed, raises their prices and builds again.
    void build(std::vector<double> prices, BeamWidth width) {
        for (int attempt = 0; attempt < (width.labels < 60 ? 4 : 2); ++attempt) {
            constructor_.set_prices(prices);
            found_.work += 1 + static_cast<double>(width.labels) / 8;
            std::optional<Cut> nearly;
            auto cut = constructor_.build({}, 0, 0, width, &nearly);
            if (cut) return adopt(*cut);
            if (!nearly) return;
            std::vector<double> sums = row_sums(setting_, rows_, *nearly);
            for (std::size_t r = 0; r < sums.size(); ++r) {
                const Row& row = rows_.rows[r];
                if (!row.soft() && row.use < 0 && sums[r] > row.most + 1e-9) prices[r] = prices[r] * 2 + 0.5;
            }
        }
    }

    // No path at all, or prices that show the conditions cannot be kept together.
    bool impossible() {
        std::vector<double> none(rows_.rows.size());
        if (!relaxation_.solve(none).possible) return found_.impossible = true;
        return false;
    }

    // Prices alone, without the objective: if they push the bound below 0, no cut keeps all conditions.
    void seek_proof_of_none() {
        relaxation_.set_objective(false);
        Prices prices(rows_, true);
        int rounds = static_cast<int>(std::clamp(400 * effort_.scale, 40.0, 200.0));
        for (int round = 0; round < rounds && !prices.settled() && !found_.impossible; ++round) {
            auto answer = relaxation_.solve(prices.now());
            found_.work += 1;
            found_.impossible = answer.bound < -1e-6;
            prices.move(answer, -1);
        }
        relaxation_.set_objective(true);
        feasible_prices_ = prices.now();
    }

    void try_harder(const std::vector<double>& best) {
        build(best, {60, 60});
        if (effort_.scale < 0.2) return;
        if (!found_.cut) build(feasible_prices_, {60, 60});
        if (!found_.cut) build(std::vector<double>(rows_.rows.size()), {80, 80});
    }

    // Proves the cut best, or finds a better one, or the first, where that is little work.
    void close(const std::vector<double>& prices) {
        found_.work += 50 * effort_.scale;
        Closing closing(setting_, rows_, arcs_, relaxation_, constructor_, pins_);
        std::optional<double> known;
        if (found_.cut) known = found_.score;
        // Whether there is a cut at all is worth looking longer.
        const double steps = (found_.cut ? 1e7 : 4e7) * effort_.scale;
        auto answer = closing.run(prices, known, steps, effort_.first_is_enough);
        if (answer.cut) {
            found_.cut = answer.cut;
            found_.score = answer.score;
        }
        if (answer.final && found_.cut) found_.limit = found_.score;
        if (answer.final && !found_.cut) found_.impossible = true;
    }

    // Two walks by chance, side by side, each with its own numbers; the better end counts, so that the cut does
    // not depend on which is done first.
    void polish() {
        Cooling cooling;
        cooling.tries = static_cast<std::size_t>(tries_a_shot * setting_.grid.expected_shots * effort_.scale);
        auto walk = [&](std::uint64_t seed) {
            Cooling its = cooling;
            its.seed = seed;
            return anneal(setting_, rows_, constructor_, pins_, *found_.cut, its, work_);
        };
        auto other = std::async(std::launch::async, walk, 2U);
        Cut one = walk(1);
        adopt(one);
        adopt(other.get());
    }

    void adopt(const Cut& cut) {
        double score = cut_score(setting_, cut);
        if (found_.cut && score <= found_.score) return;
        found_.cut = cut;
        found_.score = score;
    }

    const Setting& setting_;
    const Effort effort_;
    const LongWork& work_;
    std::vector<Pin> pins_;
    Rows rows_;
    Arcs arcs_;
    Relaxation relaxation_;
    Constructor constructor_;
    std::vector<double> feasible_prices_;
    Found found_;
};

} // namespace

Found search(const Setting& setting, const Effort& effort, const LongWork& work) {
    return Search(setting, effort, work).run();
}

} // namespace downball::solve
