// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/search.h"

#include "solve/anneal.h"
#include "solve/beside.h"
#include "solve/closing.h"
#include "solve/hedge.h"
#include "solve/prices.h"
#include "solve/resume.h"
#include "solve/survey.h"

#include <algorithm>
#include <cmath>
#include <future>
#include <limits>

namespace downball::solve {
namespace {

// Work is bounded by counting, never by a clock, so that the same problem gives the same cut.
constexpr std::size_t small_stock = 300;     // plays that are all let in at once
constexpr std::size_t middling_stock = 1500; // rounds are short, but prices far apart: more of them
constexpr std::size_t actions_let_in = 20;   // on a slot at first, of a larger stock
constexpr std::size_t plains_let_in = 8;
constexpr double tries_a_shot = 6000;                 // of annealing
constexpr double most_tries = 1.6e6;                  // about as long as the limit takes beside it
constexpr double good_enough = 0.003;                 // a share of the limit, in a large stock
constexpr double quick_steps = 3e5, most_steps = 1e7; // of closing
constexpr double good_again = 0.01; // the same where the last cut stands again: then it should be quick

class Search {
  public:
    Search(const Setting& setting, const Effort& effort, const LongWork& work)
        : setting_(setting), effort_(effort), work_(work), pins_(make_pins(setting)),
          rows_(make_rows(setting)), arcs_(make_arcs(setting, pins_)), qualities_(setting, pins_),
          steps_(setting, rows_, qualities_), relaxation_(setting, rows_, arcs_, steps_),
          survey_(setting, rows_, arcs_, steps_, qualities_),
          constructor_(setting, rows_, arcs_, qualities_, steps_, relaxation_, pins_),
          whole_(setting.stock.plays.size() <= small_stock) {}

    Found run() {
        Prices prices(rows_);
        prices.restart(usual_prices());
        best_prices_ = prices.now();
        feasible_prices_.assign(rows_.rows.size(), 0);
        if (!let_in_first(prices.now())) return found_;
        if (effort_.first_is_enough && whole_) return any_cut();
        if (setting_.weight[term::keep] > 0)
            if (auto last = resume(setting_); last && constructor_.keeps_all(*last)) {
                adopt(*last);
                resumed_ = true;
            }
        const std::vector<int> rounds = rounds_by_stage();
        const std::size_t stages = rounds.size();
        for (std::size_t stage = 0; stage < stages && !done(limit_); ++stage) {
            if (work_.stop_asked() && found_.cut) break;
            descend(prices, rounds[stage]);
            if (found_.impossible || (effort_.first_is_enough && found_.cut)) return found_;
            if (stage + 1 == stages) survey_.look_closely(6); // only the least limit counts
            const bool more = widen(prices);
            const std::size_t due = whole_ ? 0 : 1;
            const bool prices_will_do = stage == due || (stage < due && !more); // for a first cut
            if (prices_will_do) build(prices.best(), width());
            if (prices_will_do && !found_.cut) seek_any();
            if (found_.impossible) return found_;
            if (!more) break;
            work_.report(0.6 * static_cast<double>(stage + 1) / static_cast<double>(stages));
            if (prices_will_do && whole_) close(best_prices_, quick_steps); // may spare the walk
            if (prices_will_do && found_.cut && !done(limit_)) start_walk(prices.best());
        }
        if (!found_.cut) try_harder(best_prices_);
        if (found_.cut && (walk_.valid() || !done(limit_))) finish_walk();
        if (!found_.impossible && !done(limit_) && whole_ && !work_.stop_asked() &&
            !close(best_prices_, most_steps) && closed_better_)
            finish_walk(); // from there, as a cut made again would
        found_.limit = std::max(limit_, found_.score);
        work_.report(1);
        return found_;
    }

  private:
    // Early prices need not be good, since what is let in at them is not either.
    std::vector<int> rounds_by_stage() const {
        if (whole_) return {200, 200};
        if (setting_.stock.plays.size() < middling_stock) return {10, 10, 20, 60, 100};
        return {10, 10, 20, 40, 60};
    }

    bool done(double bound) const {
        const double left = whole_ ? 1e-9 : resumed_ ? good_again : good_enough;
        return found_.cut && std::isfinite(bound) &&
               bound - found_.score <= left * std::max(1.0, std::abs(bound));
    }

    double target(double bound) const {
        // Gaps end up near 1 %; the score of a first cut lies far lower and would ask for too long steps.
        double guess = bound - 0.01 * std::max(1.0, std::abs(bound));
        return found_.cut ? std::max(found_.score, guess) : guess;
    }

    // Where the day may not go back, most partial cuts run into a dead end, so that more are kept.
    BeamWidth width() const {
        if (setting_.problem.limits.story.order == Order::chronological) return {60, 40};
        return {10, 16};
    }

    // A guess that spares rounds: shots worth more than those that are wanted would fill are asked for too
    // often, and cost what they are worth more.
    std::vector<double> usual_prices() const {
        std::vector<double> prices(rows_.rows.size());
        std::vector<std::pair<double, std::size_t>> worths; // of a contact, its row
        double unit = 1 / setting_.grid.expected_shots;
        const Slot usual{.strength = 0.6};
        for (std::size_t p = 0; p < setting_.stock.plays.size(); ++p)
            for (const PassedContact& its : rows_.passed_by[p])
                if (setting_.stock.plays[p].held == 1 && its.after <= 0 &&
                    rows_.rows[its.row].kind == Row::Kind::point)
                    worths.emplace_back(unit * quality(setting_, setting_.stock.plays[p], usual, 0), its.row);
        std::sort(worths.begin(), worths.end(), [](auto& a, auto& b) { return a.second < b.second; });
        auto same = [](auto& a, auto& b) { return a.second == b.second; };
        worths.erase(std::unique(worths.begin(), worths.end(), same), worths.end());
        std::sort(worths.begin(), worths.end(), std::greater<>());
        auto wanted = static_cast<std::size_t>(setting_.grid.expected_shots);
        for (std::size_t n = 0; n < worths.size(); ++n)
            prices[worths[n].second] = worths[n].first - worths[std::min(wanted, worths.size() - 1)].first;
        for (double& price : prices)
            price = std::max(price, 0.0);
        return prices;
    }

    // False = no path at all.
    bool let_in_first(const std::vector<double>& prices) {
        std::vector<std::vector<std::uint32_t>> lists(setting_.grid.slots.size());
        if (!whole_) {
            survey_.keep(actions_let_in, plains_let_in);
            double value = survey_.run(prices);
            found_.impossible = value == nowhere;
            limit_ = value + relaxation_.offset(prices);
            best_prices_ = prices;
            add_best(lists);
        }
        for (std::size_t s = 0; s < lists.size(); ++s)
            for (std::uint32_t p = 0; p < setting_.stock.plays.size(); ++p)
                if ((whole_ || needed(p)) && qualities_.at(p, s) >= 0) lists[s].push_back(p);
        let_in(std::move(lists));
        if (whole_) found_.impossible = !relaxation_.solve(prices).possible;
        return !found_.impossible;
    }

    // Asked for by name.
    bool needed(std::uint32_t play) const {
        return setting_.clip_of(setting_.stock.plays[play]).must ||
               std::any_of(pins_.begin(), pins_.end(), [&](const Pin& pin) {
                   return std::find(pin.plays.begin(), pin.plays.end(), play) != pin.plays.end();
               });
    }

    void add_best(std::vector<std::vector<std::uint32_t>>& lists) const {
        for (std::size_t s = 0; s < lists.size(); ++s)
            lists[s].insert(lists[s].end(), survey_.best()[s].begin(), survey_.best()[s].end());
    }

    void let_in(std::vector<std::vector<std::uint32_t>> lists) {
        for (auto& list : lists) {
            std::sort(list.begin(), list.end());
            list.erase(std::unique(list.begin(), list.end()), list.end());
        }
        relaxation_.let_in(std::move(lists));
    }

    // Rounds of the relaxation over what is let in.
    void descend(Prices& prices, int rounds) {
        for (int round = 0; round < rounds && !prices.settled() && !done(limit_); ++round) {
            if (work_.stop_asked() && found_.cut) return;
            auto answer = relaxation_.solve(prices.now());
            found_.work += 1;
            if (!answer.possible) return;
            std::vector<double> at = prices.now();
            prices.move(answer, target(answer.bound));
            if (effort_.first_is_enough && round == 0) build(at, width());
            if (effort_.first_is_enough && found_.cut) return;
        }
    }

    // Proves the bound over the whole stock, and lets in what it finds; false = nothing is left to gain.
    bool widen(Prices& prices) {
        if (whole_) {
            if (prices.bound() < limit_) best_prices_ = prices.best();
            limit_ = std::min(limit_, prices.bound());
            return !prices.settled();
        }
        double bound = survey_.run(prices.best()) + relaxation_.offset(prices.best());
        found_.work += 5;
        if (bound < limit_) best_prices_ = prices.best();
        limit_ = std::min(limit_, bound);
        if (bound - prices.bound() < 1e-6 && prices.settled()) return false;
        auto lists = relaxation_.let_in();
        add_best(lists);
        let_in(std::move(lists));
        prices.restart(prices.best());
        return true;
    }

    // Builds; if only "at least" conditions are missed, raises their prices and builds again.
    void build(std::vector<double> prices, BeamWidth width) {
        for (int attempt = 0; attempt < (width.labels < 60 ? 4 : 2); ++attempt) {
            constructor_.set_prices(prices);
            found_.work += 1 + static_cast<double>(width.labels) / 8;
            std::optional<Cut> nearly;
            auto cut = constructor_.build(width, &nearly);
            if (cut) return adopt(*cut);
            if (!nearly) return;
            std::vector<double> sums = row_sums(setting_, rows_, *nearly);
            for (std::size_t r = 0; r < sums.size(); ++r) {
                const Row& row = rows_.rows[r];
                if (!row.soft() && row.use < 0 && sums[r] > row.most + 1e-9) prices[r] = prices[r] * 2 + 0.5;
            }
        }
    }

    // Prices alone, without the objective: if they push the bound below 0, no cut keeps all conditions.
    void seek_proof_of_none() {
        relaxation_.set_objective(false);
        Hedge prices(rows_);
        const int rounds = whole_ ? 200 : static_cast<int>(std::clamp(400 * effort_.scale, 40.0, 200.0));
        for (int round = 0; round < rounds && !found_.impossible && !work_.stop_asked(); ++round) {
            auto answer = relaxation_.solve(prices.now());
            found_.work += 1;
            const double surely = -1e-6 * size_of(prices.now());
            found_.impossible = !answer.possible || answer.bound < surely;
            if (found_.impossible && !whole_) {
                found_.impossible =
                    survey_.run(prices.now(), false) + relaxation_.offset(prices.now()) < surely;
                found_.work += 5;
            }
            if (!answer.possible) break;
            prices.move(answer);
        }
        relaxation_.set_objective(true);
        feasible_prices_ = prices.best();
    }

    // Of what the bound is a difference of: rounding grows with it.
    double size_of(const std::vector<double>& prices) const {
        double size = 1;
        for (std::size_t r = 0; r < prices.size(); ++r)
            size += std::abs(prices[r] * rows_.rows[r].most);
        return size;
    }

    void try_harder(const std::vector<double>& best) {
        build(best, {60, 60});
        if (effort_.scale < 0.2) return;
        if (!found_.cut && !whole_) build(feasible_prices_, {60, 60});
        if (!found_.cut) build(std::vector<double>(rows_.rows.size()), {80, 80});
        if (!found_.cut && whole_) build(best, {400, 60});
    }

    Closing closing() {
        return {setting_, rows_, arcs_, qualities_, steps_, relaxation_, constructor_, pins_};
    }

    void seek_any() {
        if (!whole_) return seek_proof_of_none();
        const Found any = Search(setting_, {true, effort_.scale}, work_).run();
        found_.work += any.work;
        found_.impossible = any.impossible;
        if (any.cut) adopt(*any.cut);
    }

    // Of a small stock. More work goes on where less work ends, so that it finds what that finds.
    Found any_cut() {
        build(best_prices_, width());
        look_through(0, 2e5);
        if (!found_.cut && !found_.impossible) seek_proof_of_none();
        if (!found_.cut && !found_.impossible) build(feasible_prices_, width());
        for (std::uint64_t seed = 1; seed <= 3; ++seed)
            look_through(seed, 4e5);
        look_through(0, 1e8 * effort_.scale);
        return found_;
    }

    // A few short looks from different beginnings find a cut that there is sooner than a long one.
    void look_through(std::uint64_t seed, double steps) {
        if (found_.cut || found_.impossible || work_.stop_asked()) return;
        const auto answer = closing().any(feasible_prices_, steps, seed);
        // A round of the relaxation takes some 50 steps for each shot on each slot.
        found_.work += answer.steps /
                       (50 * static_cast<double>(setting_.stock.plays.size() * setting_.grid.slots.size()));
        if (answer.cut) adopt(*answer.cut);
        found_.impossible = answer.final && !answer.cut;
    }

    // Proves the cut best, or finds a better one, where that is little work. True = proven.
    bool close(const std::vector<double>& prices, double steps) {
        if (!found_.cut || effort_.first_is_enough || done(limit_)) return false;
        const auto answer = closing().best(prices, found_.score, steps * effort_.scale);
        found_.work += 50 * effort_.scale * answer.steps / most_steps;
        closed_better_ = answer.cut.has_value();
        if (answer.cut) adopt(*answer.cut);
        if (answer.final) limit_ = found_.score;
        return answer.final;
    }

    // Walks by chance from the cut there is, at these prices, beside the rest of the search: the limit needs no
    // better cut, and the walk needs no better limit. What it begins with does not depend on which is done first.
    void start_walk(const std::vector<double>& prices) {
        walk_ = beside([this, prices, start = *found_.cut] {
            const Offers offers(setting_, rows_, qualities_, steps_, prices);
            const double tries = std::min(tries_a_shot * setting_.grid.expected_shots, most_tries);
            Cooling cooling;
            cooling.tries = static_cast<std::size_t>(tries * effort_.scale);
            return anneal(setting_, rows_, qualities_, offers, pins_, start, cooling, work_);
        });
    }

    void finish_walk() {
        if (!walk_.valid()) start_walk(best_prices_);
        const Cut cut = walk_.get();
        if (constructor_.keeps_all(cut)) adopt(cut);
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
    QualityTable qualities_;
    Steps steps_;
    Relaxation relaxation_;
    Survey survey_;
    Constructor constructor_;
    const bool whole_; // are all plays let in?
    bool closed_better_ = false;
    bool resumed_ = false; // is the last cut among those found?
    double limit_ = std::numeric_limits<double>::infinity();
    std::vector<double> best_prices_; // of the limit
    std::vector<double> feasible_prices_;
    Found found_;
    std::future<Cut> walk_; // last, since it looks at the rest
};

} // namespace

Found search(const Setting& setting, const Effort& effort, const LongWork& work) {
    return Search(setting, effort, work).run();
}

} // namespace downball::solve
