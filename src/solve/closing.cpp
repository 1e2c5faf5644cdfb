// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/closing.h"

#include "solve/packing.h"

#include "downball/base/splitmix64.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <tuple>

namespace downball::solve {
namespace {

constexpr std::size_t failures_kept = 200000;

} // namespace

Closing::Answer Closing::best(const std::vector<double>& prices, std::optional<double> known, double work) {
    any_ = false;
    seed_ = 0;
    return run(prices, known.value_or(-std::numeric_limits<double>::infinity()), work);
}

Closing::Answer Closing::any(const std::vector<double>& prices, double work, std::uint64_t seed) {
    any_ = true;
    seed_ = seed;
    // What the bound is a difference of makes its rounding.
    double size = 1;
    for (std::size_t r = 0; r < prices.size(); ++r)
        size += std::abs(prices[r] * rows_.rows[r].most);
    relaxation_.set_objective(false);
    Answer answer = run(prices, -1e-6 * size, work);
    relaxation_.set_objective(true);
    return answer;
}

Closing::Answer Closing::run(const std::vector<double>& prices, double bar, double work) {
    prices_ = prices;
    answer_ = {};
    best_ = bar;
    left_ = work;
    stop_ = unsure_ = false;
    suffix_.clear();
    failed_.clear();
    failures_ = 0;
    sums_.assign(rows_.rows.size(), 0);
    hung_.assign(setting_.stock.plays.size(), 0);
    list_minds();
    list_least();
    if (!relaxation_.solve(prices).possible) {
        answer_.final = true;
        return answer_;
    }
    list_choices();
    descend(setting_.grid.slots.size(), false, relaxation_.offset(prices));
    answer_.final = !stop_ && !unsure_;
    answer_.steps = work - left_;
    return answer_;
}

// Of the rows that count shots or frames, each by itself and those that are wanted with those that limit them.
void Closing::list_least() {
    least_.clear();
    for (std::size_t r = 0; r < rows_.rows.size(); ++r) {
        const Row& row = rows_.rows[r];
        if (row.soft() || row.kind == Row::Kind::point || row.kind == Row::Kind::moment) continue;
        add_least({{r, 1}});
        if (row.kind == Row::Kind::share) list_joint(r);
    }
}

// Shots that are wanted take up a share if all that may be shown for them do.
void Closing::list_joint(std::size_t share) {
    const auto& plays = setting_.stock.plays;
    std::vector<std::int64_t> shortest(rows_.rows.size(), std::numeric_limits<std::int64_t>::max());
    for (std::size_t p = 0; p < plays.size(); ++p) {
        const auto& lengths = rows_.length_of[p];
        const bool takes = std::find(lengths.begin(), lengths.end(), share) != lengths.end();
        const std::int64_t length = takes ? plays[p].shortest : 0;
        for (std::size_t r : rows_.of_clip[plays[p].clip])
            shortest[r] = std::min(shortest[r], length);
        for (const RowUse& its : rows_.of_play[p])
            shortest[its.row] = std::min(shortest[its.row], length);
    }
    std::vector<RowUse> musts{{share, 1}};
    for (std::size_t r = 0; r < rows_.rows.size(); ++r) {
        const Row& row = rows_.rows[r];
        const bool wanted = !row.soft() && row.use < 0 && row.kind != Row::Kind::differ;
        if (!wanted || shortest[r] <= 0 || shortest[r] > setting_.grid.longest) continue;
        add_least({{share, 1}, {r, static_cast<double>(shortest[r])}});
        if (row.kind == Row::Kind::must) musts.push_back({r, static_cast<double>(shortest[r])});
    }
    if (musts.size() > 2) add_least(musts);
}

void Closing::add_least(std::vector<RowUse> of) {
    const std::size_t clips = setting_.stock.clips.size();
    std::vector<double> prices(rows_.rows.size());
    Least least;
    for (const RowUse& its : of) {
        prices[its.row] = its.use;
        least.most += its.use * rows_.rows[its.row].most;
    }
    least.of = std::move(of);
    least.before.assign(setting_.grid.slots.size() * clips * 2, 0);
    relaxation_.set_objective(false);
    if (relaxation_.solve(prices).possible)
        for (std::size_t slot = 0; slot < setting_.grid.slots.size(); ++slot)
            for (std::size_t clip = 0; clip < clips; ++clip)
                least.before[start(slot, clip, false)] = -relaxation_.reach(slot, clip, false);
    relaxation_.set_objective(!any_);
    least_.push_back(std::move(least));
    left_ -= 1000;
}

void Closing::list_choices() {
    const auto& plays = setting_.stock.plays;
    const std::size_t n = setting_.grid.slots.size(), clips = setting_.stock.clips.size();
    reach_.assign(n * clips * 2, nowhere);
    for (std::size_t s = 0; s < n; ++s)
        for (std::size_t clip = 0; clip < clips; ++clip)
            for (bool first : {false, true})
                reach_[start(s, clip, first)] = relaxation_.reach(s, clip, first);
    into_.assign((n + 1) * 2, {});
    for (std::size_t s = 0; s < n; ++s)
        for (std::uint32_t p : relaxation_.let_in()[s])
            for (bool first : {false, true}) {
                const double reach = reach_[start(s, plays[p].clip, first)];
                if (reach == nowhere || qualities_.at(p, s) < 0) continue;
                for (const Arc& arc : arcs_.of(s, plays[p].impact >= 0, first)) {
                    left_ -= 1;
                    const double value = reach + relaxation_.worth(p, s, arc);
                    if (value == nowhere) continue;
                    into_[arc.to * 2 + (arc.to_action ? 1 : 0)].push_back(
                        {value,
                         {&arc, s, plays[p].impact >= 0, first},
                         p,
                         *steps_.need(p, s, arc),
                         std::min(arc.cap, qualities_.span(p, s) + plays[p].room_after)});
                }
            }
    order_choices();
}

void Closing::order_choices() {
    SplitMix64 dice(seed_);
    for (auto& choices : into_) {
        std::stable_sort(choices.begin(), choices.end(),
                         [](const Choice& a, const Choice& b) { return a.value > b.value; });
        for (std::size_t n = choices.size(); n > 1 && shuffled(); --n)
            std::swap(choices[n - 1], choices[dice.next() % n]);
    }
}

// The suffix begins at slot `at`; `value` bounds what it brings, with the offset.
void Closing::descend(std::size_t at, bool action, double value) {
    std::int64_t out = suffix_.empty() ? setting_.grid.length : suffix_.back().in;
    std::vector<std::pair<double, const Choice*>> choices;
    for (const Choice& choice : into_[at * 2 + (action ? 1 : 0)]) {
        left_ -= 1;
        if (value + choice.value <= bar()) {
            if (shuffled()) continue;
            break;
        }
        const std::int64_t after = out - setting_.grid.slots[choice.before.slot].frame;
        if (after < choice.need || after > choice.most || hung_[choice.play]) continue;
        double cost = 0;
        if (!suffix_.empty() && !any_)
            cost = setting_.grid.slots[at].unit * pair_cost(setting_, choice.play, suffix_.back().play);
        if (value + choice.value - cost > bar()) choices.emplace_back(cost, &choice);
    }
    if (left_ < 0) {
        stop_ = true;
        return;
    }
    if (!any_)
        std::stable_sort(choices.begin(), choices.end(), [](const auto& a, const auto& b) {
            return a.second->value - a.first > b.second->value - b.first;
        });
    for (const auto& [cost, choice] : choices) {
        if (stop_ || (!shuffled() && value + choice->value - cost <= bar())) return;
        place(*choice, out, value - cost);
    }
}

bool Closing::allowed(const Piece& piece) const {
    const auto& plays = setting_.stock.plays;
    bool plain = plays[piece.play].impact < 0;
    for (const Piece& later : suffix_) {
        if (!plain && plays[later.play].impact >= 0 && overlap(setting_, piece, later)) return false;
        if (contradict(setting_, piece, later)) return false;
    }
    return std::none_of(pins_.begin(), pins_.end(), [&](const Pin& pin) {
        if (pin.record_in && piece.in < *pin.record_in && *pin.record_in < piece.out) return true;
        bool named = std::find(pin.plays.begin(), pin.plays.end(), piece.play) != pin.plays.end();
        if (!named) return pin.record_in == piece.in;
        return pin.ordinal == 0 && ((pin.record_in && *pin.record_in != piece.in) ||
                                    (pin.source_in && *pin.source_in != piece.source_in));
    });
}

double Closing::used(const Least& least) const {
    double sum = 0;
    for (const RowUse& its : least.of)
        sum += its.use * sums_[its.row];
    return sum;
}

// What the suffix uses, with the least that the shots before it use.
bool Closing::rows_can_be_kept(const Before& before, std::size_t clip) const {
    return std::all_of(least_.begin(), least_.end(), [&](const Least& least) {
        return used(least) + least.before[start(before.slot, clip, before.first)] <= least.most + 1e-6;
    });
}

void Closing::count(const Piece& piece, int sign) {
    const Play& play = setting_.stock.plays[piece.play];
    for (std::size_t p : setting_.clip_of(play).plays)
        if (hold_same(setting_.stock.plays[p], play)) hung_[p] += sign;
    for (std::size_t r : rows_.of_clip[setting_.stock.plays[piece.play].clip])
        sums_[r] += sign * rows_.rows[r].use;
    for (const RowUse& its : rows_.of_play[piece.play])
        sums_[its.row] += sign * its.use;
    for (std::size_t r : rows_.length_of[piece.play])
        sums_[r] += sign * rows_.rows[r].use * static_cast<double>(piece.out - piece.in);
}

double Closing::priced_value(const Piece& piece, const Arc& arc) const {
    const Play& play = setting_.stock.plays[piece.play];
    const Slot& slot = setting_.grid.slots[piece.slot];
    double value = -relaxation_.use_price(piece.play) -
                   steps_.passed_price(prices_, piece.play, piece.out - slot.frame - piece.span);
    for (std::size_t r : rows_.length_of[piece.play])
        value -= prices_[r] * rows_.rows[r].use * static_cast<double>(piece.out - piece.in);
    if (any_) return value;
    double error = play.impact >= 0 ? piece.error : border_error(slot);
    value += arc.share * quality(setting_, play, slot, error) + (play.slow ? arc.pace_slow : arc.pace_real) +
             setting_.weight[term::story] * arrival_value(setting_, play, piece.slot);
    if (arc.to == setting_.grid.slots.size())
        value += setting_.weight[term::story] * ending_value(setting_, setting_.clip_of(play));
    return value;
}

void Closing::place(const Choice& choice, std::int64_t out, double value) {
    const Before& before = choice.before;
    const Slot& slot = setting_.grid.slots[before.slot];
    const Play& play = setting_.stock.plays[choice.play];
    const Clip& clip = setting_.clip_of(play);
    std::vector<Placement> places;
    if (play.impact < 0)
        places.push_back({slot.frame, clip.first, 0});
    else
        places = placements(setting_.grid, clip, play, slot);
    for (const Placement& its : places) {
        if (stop_) return;
        left_ -= 20; // about what a placement costs, in steps
        if (before.first && its.record_in != 0) continue;
        Piece piece{choice.play, before.slot};
        piece.stand(its);
        piece.out = out;
        if (!fits(setting_, piece) || !allowed(piece)) continue;
        double reached = value + priced_value(piece, *before.arc);
        if (reached + reach_[start(before.slot, play.clip, before.first)] <= bar()) continue;
        suffix_.push_back(piece);
        count(piece, 1);
        if (rows_can_be_kept(before, play.clip)) {
            // Its own slot cost is part of what is reached; the pair costs come with the shot before.
            double slot_part = any_ ? 0 : slot.unit * slot_cost(setting_, clip, slot);
            if (before.first)
                complete();
            else if (!known_to_fail(before))
                descend(before.slot, before.action, reached - slot_part);
        }
        count(piece, -1);
        suffix_.pop_back();
    }
}

// Does it matter to other shots what the shot shows of its file, or where locks want it?
void Closing::list_minds() {
    const auto& plays = setting_.stock.plays;
    const auto& clips = setting_.stock.clips;
    minds_.assign(plays.size(), Minds::nothing);
    rivals_.assign(plays.size(), {});
    for (std::uint32_t p = 0; p < plays.size(); ++p)
        for (std::uint32_t q = 0; q < plays.size(); ++q) {
            const Clip &mine = clips[plays[p].clip], &other = clips[plays[q].clip];
            const bool one_contact = hold_same(plays[p], plays[q]);
            const bool one_moment =
                mine.action && other.action && mine.moment >= 0 && mine.moment == other.moment;
            // Of a file that only such shots use, all of them all of it, how much they take up together says enough.
            const bool alike =
                !mine.action && !other.action && mine.first == other.first && mine.last == other.last;
            if (!one_contact && !alike && (mine.media == other.media || one_moment)) rivals_[p].push_back(q);
        }
    for (std::size_t p = 0; p < plays.size(); ++p)
        if (!rivals_[p].empty()) minds_[p] = Minds::source;
    for (const Pin& pin : pins_)
        for (std::size_t p : clips[pin.clip].plays)
            minds_[p] = Minds::place;
}

// Can a shot still come that has to mind what this one shows? Contacts that the suffix hangs by cannot.
bool Closing::minded(std::size_t play) const {
    const auto& plays = setting_.stock.plays;
    return std::any_of(rivals_[play].begin(), rivals_[play].end(), [&](std::uint32_t q) {
        return plays[q].impact < 0 || std::none_of(suffix_.begin(), suffix_.end(), [&](const Piece& piece) {
                   return hold_same(plays[piece.play], plays[q]);
               });
    });
}

// What counts of it: more than is wanted helps no more, and what cannot be exceeded any more needs no counting.
double Closing::burden(const Least& least) const {
    const double sum = used(least);
    if (least.of.size() > 1) return sum;
    const Row& row = rows_.rows[least.of.front().row];
    if (row.kind == Row::Kind::differ) return sum;
    if (row.use < 0) return std::max(sum, row.most);
    const auto room = static_cast<double>(suffix_.back().in);
    return sum + (row.counts_frames() ? room
                                      : std::floor(room / static_cast<double>(setting_.grid.shortest))) <=
                   row.most
               ? 0
               : sum;
}

// The shots before have to mind what the suffix shows and uses and where it begins, not in what order it shows it;
// and if nothing stands before it, nothing stands before one that shows and uses more. Whatever is asked for is
// noted as failed: if it comes again, nothing was found before it.
bool Closing::known_to_fail(const Before& before) {
    if (!any_) return false;
    left_ -= 10;
    struct Shown {
        std::int64_t thing, from, to;
    };
    std::vector<Shown> shown;
    for (const Piece& piece : suffix_) {
        const Play& play = setting_.stock.plays[piece.play];
        const auto clip = static_cast<std::int64_t>(play.clip);
        const std::int64_t things = 1 + static_cast<std::int64_t>(setting_.stock.plays.size());
        const std::int64_t source = play.impact < 0 ? 0 : piece.source_in;
        const std::int64_t to = source + piece.source_out(play.speed) - piece.source_in;
        if (minds_[piece.play] == Minds::place)
            shown.push_back({things * (1 + piece.in) + static_cast<std::int64_t>(piece.play), -source, to});
        else if (minds_[piece.play] == Minds::source && minded(piece.play))
            shown.push_back({static_cast<std::int64_t>(piece.play), -source, to});
        else
            shown.push_back({-1 - ((clip << 32) + (play.impact + 1) * 8 + play.held), 0, 0});
    }
    std::sort(shown.begin(), shown.end(), [](const Shown& a, const Shown& b) {
        return std::tie(a.thing, a.to, a.from) < std::tie(b.thing, b.to, b.from);
    });
    std::vector<std::int64_t> key{static_cast<std::int64_t>(before.slot), before.action ? 1 : 0,
                                  suffix_.back().in};
    Failure now;
    for (const Shown& its : shown) {
        const bool again = key.size() > 3 && key.back() == its.thing;
        if (its.thing < 0 && again) continue;
        key.push_back(its.thing);
        now.shown.push_back(its.from);
        now.shown.push_back(its.to);
    }
    for (const Least& least : least_)
        now.used.push_back(burden(least));
    auto& failures = failed_[std::move(key)];
    const auto no_more = [](double a, double b) { return a <= b + 1e-9; };
    for (const Failure& failure : failures) {
        left_ -= 1;
        if (std::equal(failure.shown.begin(), failure.shown.end(), now.shown.begin(), std::less_equal<>()) &&
            std::equal(failure.used.begin(), failure.used.end(), now.used.begin(), no_more))
            return true;
    }
    if (failures_ < failures_kept) {
        failures.push_back(std::move(now));
        ++failures_;
    }
    return false;
}

// The suffix is a whole cut. Its score does not depend on sources, so it is asked first, being cheapest.
void Closing::complete() {
    Cut cut(suffix_.rbegin(), suffix_.rend());
    left_ -= 10.0 * static_cast<double>(cut.size());
    double score = cut_score(setting_, cut);
    if (!any_ && score <= bar()) return;
    left_ -= static_cast<double>(cut.size() * cut.size());
    if (!keeps_rows(rows_, sums_)) return;
    double tries = 0;
    const Packed packed = give_sources(setting_, pins_, cut, tries);
    left_ -= tries * static_cast<double>(cut.size());
    stop_ = stop_ || left_ < 0;
    unsure_ = unsure_ || packed == Packed::unsure;
    if (packed != Packed::yes || !constructor_.keeps_all(cut)) return;
    best_ = score;
    answer_.score = score;
    answer_.cut = std::move(cut);
    if (any_) stop_ = true;
}

} // namespace downball::solve
