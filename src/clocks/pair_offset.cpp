// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "clocks/pair_offset.h"

#include "clocks/hints.h"
#include "clocks/lag.h"
#include "clocks/offset_bins.h"

#include <algorithm>
#include <cmath>
#include <set>
#include <utility>

namespace downball::clocks {
namespace {

constexpr std::size_t most_hints = 20000; // around one bin; the best
constexpr std::size_t most_lags = 3;      // for two recordings around one bin
// Drift is looked for over a season; a clock that fell back to its first day would make decades of it, and millions of
// lines to try.
constexpr double longest_half_s = 60.0 * 86400;
constexpr double most_drift_ppm =
    100; // quartz oscillators of consumer gear are good to 50 ppm, common practice

class Day {
  public:
    Day(std::span<const Recording* const> ours, std::span<const Recording* const> theirs)
        : ours_(ours), theirs_(theirs) {
        double step_s = 0, other_s = 0, first_s = theirs.front()->began->at_s, last_s = first_s;
        for (const Recording* one : ours)
            step_s = std::max(step_s, one->began->step_s);
        for (std::size_t j = 0; j < theirs.size(); ++j) {
            const Recording* one = theirs[j];
            by_begin_.emplace_back(one->began->at_s, j);
            longest_s_ = std::max(longest_s_, one->real_s);
            other_s = std::max(other_s, one->began->step_s);
            first_s = std::min(first_s, one->began->at_s);
            last_s = std::max(last_s, one->began->at_s + one->real_s);
        }
        within_s_ = (step_s + other_s) / 2 + reach_s;
        middle_s_ = (first_s + last_s) / 2;
        half_s_ = (last_s - first_s) / 2;
        std::sort(by_begin_.begin(), by_begin_.end());
        if (half_s_ > longest_half_s) {
            middle_s_ = by_begin_[by_begin_.size() / 2].first;
            half_s_ = longest_half_s;
        }
    }

    double within_s() const { return within_s_; }
    double middle_s() const { return middle_s_; }

    // Hints at clocks that are apart by about `about_s`.
    std::vector<Hint> hints(double about_s, const LongWork& work) const {
        const double slack_s = 1.5 * bin_s + within_s_ + half_s_ * most_drift_ppm * 1e-6;
        std::vector<Hint> all;
        for (std::size_t i = 0; i < ours_.size(); ++i) {
            if (work.stop_asked()) return {};
            const Recording* a = ours_[i];
            const double ours_s = a->began->at_s + about_s;
            for (const std::size_t j :
                 begun_between(ours_s - longest_s_ - slack_s, ours_s + a->real_s + slack_s)) {
                const Recording* b = theirs_[j];
                const double begin_s = a->began->at_s + about_s - b->began->at_s; // ours in theirs
                if (begin_s > b->real_s + slack_s || begin_s + a->real_s < -slack_s) continue;
                for (const Lag& lag : find_lags(*a, *b, begin_s - slack_s, begin_s + slack_s, most_lags)) {
                    const double apart_s = b->began->at_s + lag.lag_s - a->began->at_s;
                    all.push_back({i, j, b->began->at_s + std::max(0.0, lag.lag_s), apart_s, lag.score});
                }
            }
        }
        if (all.size() > most_hints) {
            std::stable_sort(all.begin(), all.end(),
                             [](const Hint& a, const Hint& b) { return a.score > b.score; });
            all.resize(most_hints);
        }
        return all;
    }

    // The line that most hints agree with, and those hints, one for each two recordings.
    struct Line {
        double apart_s = 0, drift = 0, score = 0;
        std::vector<Hint> agreeing;
    };
    Line best_line(const std::vector<Hint>& hints) const {
        Line best;
        const double most = most_drift_ppm * 1e-6;
        const double step = half_s_ > 0 ? within_s_ / half_s_ / 2 : 1;
        const int steps = static_cast<int>(most / step);
        std::size_t pairs = 0;
        auto all = placed(hints, pairs);
        Window window(pairs);
        for (int n = -steps; n <= steps; ++n) {
            const double drift = n * step;
            for (Placed& one : all)
                one.level_s = level(one.hint, drift);
            std::sort(all.begin(), all.end(), [](const Placed& a, const Placed& b) {
                return a.level_s != b.level_s ? a.level_s < b.level_s : a.pair < b.pair;
            });
            window.begin_anew();
            std::span<const Placed> agreeing;
            for (std::size_t first = 0, end = 0; first < all.size(); ++first) {
                while (end < all.size() && all[end].level_s <= all[first].level_s + 2 * within_s_)
                    window.add(all[end++]);
                // Of equal lines the one that drifts less.
                const bool more = window.score() > best.score + 1e-9;
                const bool flatter =
                    window.score() > best.score - 1e-9 && std::abs(drift) < std::abs(best.drift);
                if (more || flatter) {
                    best.drift = drift;
                    best.score = window.score();
                    agreeing = std::span(all).subspan(first, end - first);
                }
                window.remove(all[first]);
            }
            if (!agreeing.empty()) best.agreeing = best_of_each(agreeing);
        }
        fit(best);
        return best;
    }

    // Those that say something else than the line.
    std::vector<Hint> without(std::vector<Hint> hints, const Line& line) const {
        std::erase_if(hints, [&](const Hint& hint) {
            return std::abs(level(hint, line.drift) - line.apart_s) <= 2 * within_s_;
        });
        return hints;
    }

  private:
    // Of theirs, in their order, a little more than asked for; the rest of a long day need not be looked at.
    std::vector<std::size_t> begun_between(double from_s, double to_s) const {
        constexpr double rounding_s = 1;
        std::vector<std::size_t> some;
        for (auto at = std::lower_bound(by_begin_.begin(), by_begin_.end(),
                                        std::pair(from_s - rounding_s, std::size_t{0}));
             at != by_begin_.end() && at->first <= to_s + rounding_s; ++at)
            some.push_back(at->second);
        std::sort(some.begin(), some.end());
        return some;
    }

    double level(const Hint& hint, double drift) const {
        return hint.apart_s - drift * (hint.at_s - middle_s_);
    }

    static std::vector<Hint> best_of_each(std::span<const Placed> placed) {
        std::vector<Hint> best;
        for (const Placed& one : placed)
            best.push_back(one.hint);
        std::sort(best.begin(), best.end(), [](const Hint& a, const Hint& b) {
            return pair_of(a) != pair_of(b) ? pair_of(a) < pair_of(b)
                   : a.score != b.score     ? a.score > b.score
                                            : a.apart_s < b.apart_s;
        });
        best.erase(std::unique(best.begin(), best.end(),
                               [](const Hint& a, const Hint& b) { return pair_of(a) == pair_of(b); }),
                   best.end());
        return best;
    }

    // Least squares, weighed by score.
    void fit(Line& line) const {
        double w = 0, x = 0, y = 0, xx = 0, xy = 0;
        for (const Hint& hint : line.agreeing) {
            const double t = hint.at_s - middle_s_;
            w += hint.score;
            x += hint.score * t;
            y += hint.score * hint.apart_s;
        }
        if (w <= 0) return;
        x /= w;
        y /= w;
        for (const Hint& hint : line.agreeing) {
            const double t = hint.at_s - middle_s_ - x;
            xx += hint.score * t * t;
            xy += hint.score * t * (hint.apart_s - y);
        }
        // Rallies of one hour tell nothing of a day's drift.
        line.drift = line.agreeing.size() >= 4 && xx > 0 ? xy / xx : 0;
        line.drift = std::clamp(line.drift, -most_drift_ppm * 1e-6, most_drift_ppm * 1e-6);
        line.apart_s = y - line.drift * x;
    }

    std::span<const Recording*const> ours_, theirs_;
    std::vector<std::pair<double, std::size_t>> by_begin_; // of theirs
    double longest_s_ = 0;                                 // of theirs
    double within_s_ = 0, middle_s_ = 0, half_s_ = 0;
};

// How likely the best line is right, by how far it is ahead of the next that says something else: a logistic curve
// over the logarithm of the lead, in sure pairs of contacts. Fitted on generated days (tests/support/camera_day.h,
// seeds 10000 to 10799); tests/bench/clocks_bench.cpp shows on others how often it keeps its word. Two rallies may be
// alike to within what is heard, so one alone is right in no more than 7 of 10 days, however well it fits.
double confidence_of(double best, double next, std::size_t rallies) {
    constexpr double at_one = 1.8, slope = 2.8, of_one_rally = 0.7;
    const double lead = best - next;
    const double said = lead > 0 ? 1 / (1 + std::exp(-(at_one + slope * std::log(lead)))) : 0;
    return rallies > 1 ? said : std::min(said, of_one_rally);
}

std::size_t files_of(const Day::Line& line, std::size_t Hint::*side) {
    std::set<std::size_t> files;
    for (const Hint& hint : line.agreeing)
        files.insert(hint.*side);
    return files.size();
}

// Long recordings hold many rallies, and short ones of one rally may be several.
std::size_t rallies_of(const Day::Line& line) {
    return std::max(files_of(line, &Hint::ours), files_of(line, &Hint::theirs));
}

struct Spread {
    double error_s = 0; // of the offset
    double drift_error = 0;
};

Spread spread_of(const Day::Line& line, const Day& day) {
    double off = 0, xx = 0, x = 0;
    const auto n = static_cast<double>(line.agreeing.size());
    for (const Hint& hint : line.agreeing)
        x += (hint.at_s - day.middle_s()) / n;
    for (const Hint& hint : line.agreeing) {
        const double t = hint.at_s - day.middle_s();
        const double r = hint.apart_s - line.apart_s - line.drift * t;
        off += r * r;
        xx += (t - x) * (t - x);
    }
    Spread spread;
    const double deviation_s = n > 2 ? std::sqrt(off / (n - 2)) : day.within_s();
    // What the clocks leave open is the same for all that was heard in one file.
    const double files =
        static_cast<double>(std::min(files_of(line, &Hint::ours), files_of(line, &Hint::theirs)));
    spread.error_s = std::max(2 * deviation_s / std::sqrt(std::max(n, 1.0)),
                              (day.within_s() - reach_s) / std::sqrt(std::max(files, 1.0)));
    spread.drift_error = xx > 0 ? 2 * deviation_s / std::sqrt(xx) : 1;
    return spread;
}

} // namespace

std::optional<Offset> pair_offset(std::span<const Recording* const> ours,
                                  std::span<const Recording* const> theirs, const LongWork& work) {
    if (ours.empty() || theirs.empty()) return std::nullopt;
    const Day day(ours, theirs);
    std::vector<Day::Line> lines;
    for (const double about_s : full_bins(ours, theirs)) {
        if (work.stop_asked()) return std::nullopt;
        auto line = day.best_line(day.hints(about_s, work));
        if (line.score > 0) lines.push_back(std::move(line));
    }
    if (lines.empty()) return std::nullopt;
    std::stable_sort(lines.begin(), lines.end(),
                     [](const Day::Line& a, const Day::Line& b) { return a.score > b.score; });
    const Day::Line& best = lines.front();
    // What says something else, around other bins or this one: a rally laid one contact later on itself.
    double next = day.best_line(day.without(day.hints(best.apart_s, work), best)).score;
    for (const Day::Line& other : lines)
        if (std::abs(other.apart_s - best.apart_s) > 2 * day.within_s()) {
            next = std::max(next, other.score);
            break;
        }
    const Spread spread = spread_of(best, day);
    Offset offset;
    offset.offset_s = best.apart_s;
    offset.middle_s = day.middle_s();
    offset.rallies = rallies_of(best);
    offset.drifts = offset.rallies >= 4 && std::abs(best.drift) > spread.drift_error;
    offset.drift_ppm = best.drift * 1e6;
    offset.error_s = std::max(spread.error_s, 0.02);
    offset.confidence = confidence_of(best.score, next, rallies_of(best));
    return offset;
}

} // namespace downball::clocks
