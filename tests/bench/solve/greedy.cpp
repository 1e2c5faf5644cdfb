// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/solve/greedy.h"

#include "support/solve_programme/columns.h"

#include <fmt/format.h>

namespace downball::bench {
namespace {

using namespace tests::programme;

// What is in the cut already, as far as it forbids more.
class Kept {
  public:
    Kept(const Rules& rules, const Worth& worth)
        : r_(rules), w_(worth), seen_(worth.weight[coverage] * worth.covered(1)),
          again_(worth.weight[fresh] / worth.wanted_shots()) {}

    bool allows(const Play& play) const {
        const Take& take = r_.log.takes[play.take];
        if (play.contact && hung_.count({play.take, *play.contact})) return false;
        if (is_action(take) && !take.moment.empty() && answered_.count(take.moment)) return false;
        for (const std::string& player : w_.players(play))
            if (full(r_.limits.variety.players, player, players_)) return false;
        for (Skill skill : w_.skills(play))
            if (full(r_.limits.variety.skills, skill, skills_)) return false;
        return r_.limits.story.order != Order::chronological || in_order(play);
    }

    // First free source place of a shot without action, or nothing.
    std::optional<std::int64_t> room_for(std::size_t take, std::int64_t length) const {
        FrameRange room = r_.room(take);
        std::int64_t at = room.in.n;
        if (auto its = spans_.find(r_.log.takes[take].media); its != spans_.end())
            for (const FrameRange& span : its->second) // in order
                if (span.out.n > at && span.in.n < at + length) at = span.out.n;
        return at + length <= room.out.n ? std::optional(at) : std::nullopt;
    }
    bool shows_nothing_twice(const Play& play, FrameRange source) const {
        if (auto its = spans_.find(r_.log.takes[play.take].media); its != spans_.end())
            for (const FrameRange& span : its->second)
                if (span.overlaps(source)) return false;
        for (const std::string& name : names(play, source))
            if (auto at = shown_.find(name); at != shown_.end() && at->second != play.take) return false;
        return true;
    }
    bool within_shares(const Play& play, std::int64_t length) const {
        const Variety& v = r_.limits.variety;
        const Take& take = r_.log.takes[play.take];
        auto over = [&](std::int64_t frames, double most) {
            return static_cast<double>(frames + length) > most * static_cast<double>(r_.length) + hair;
        };
        return !(w_.slow(play) && over(slow_, v.slow_motion_share_max)) &&
               !(is_cutaway(take) && over(cutaway_, v.cutaway_share_max)) &&
               !(is_answer(take) && over(answer_, v.reaction_share_max));
    }
    // Points that depend on the shots before.
    double news(const Play& play) const {
        double sum = takes_.count(play.take) ? -again_ : 0;
        for (const std::string& player : w_.players(play))
            sum += players_.count(player) ? 0 : seen_;
        for (Skill skill : w_.skills(play))
            sum += skills_.count(skill) ? 0 : seen_;
        return sum;
    }

    void add(const Play& play, FrameRange source, std::int64_t length) {
        const Take& take = r_.log.takes[play.take];
        auto& spans = spans_[take.media];
        spans.insert(std::upper_bound(spans.begin(), spans.end(), source,
                                      [](const FrameRange& a, const FrameRange& b) { return a.in < b.in; }),
                     source);
        takes_.insert(play.take);
        last_.push_back(play);
        for (const std::string& player : w_.players(play))
            ++players_[player];
        for (Skill skill : w_.skills(play))
            ++skills_[skill];
        for (const std::string& name : names(play, source))
            shown_.emplace(name, play.take);
        if (play.contact) hung_.insert({play.take, *play.contact});
        if (is_answer(take)) answered_.insert(take.moment);
        if (w_.slow(play)) slow_ += length;
        if (is_answer(take)) answer_ += length;
        if (is_cutaway(take)) cutaway_ += length;
    }
    const std::vector<Play>& plays() const { return last_; }

  private:
    template <class Key>
    static bool full(const std::map<Key, Bounds>& bounds, const Key& key, const std::map<Key, int>& has) {
        auto bound = bounds.find(key);
        if (bound == bounds.end() || !bound->second.at_most) return false;
        auto at = has.find(key);
        return (at == has.end() ? 0 : at->second) >= *bound->second.at_most;
    }
    bool in_order(const Play& play) const {
        for (const Play& before : last_)
            if (w_.back_in_time(before, play)) return false;
        return true;
    }
    // Contacts of the moment that the shot shows; a moment that is not all told has one name for all. Replays it does not use.
    std::vector<std::string> names(const Play& play, FrameRange source) const {
        const std::string& moment = r_.log.takes[play.take].moment;
        if (!play.contact || moment.empty()) return {};
        if (!r_.all_known(moment)) return {moment};
        std::vector<std::string> all;
        for (std::size_t i : r_.shown(play.take, source)) {
            auto [skill, n] = r_.name_of(play.take, i);
            all.push_back(fmt::format("{}/{}/{}", moment, static_cast<int>(skill), n));
        }
        return all;
    }

    const Rules& r_;
    const Worth& w_;
    double seen_, again_; // points of a player or skill not yet seen, and of a take shown again
    std::map<std::size_t, std::vector<FrameRange>> spans_;
    std::set<std::pair<std::size_t, std::size_t>> hung_;
    std::map<std::string, std::size_t> shown_; // by which take
    std::set<std::string> answered_;
    std::set<std::size_t> takes_;
    std::map<std::string, int> players_;
    std::map<Skill, int> skills_;
    std::vector<Play> last_;
    std::int64_t slow_ = 0, cutaway_ = 0, answer_ = 0;
};

class Greedy {
  public:
    explicit Greedy(const solve::Problem& problem) : r_(problem), w_(r_), placing_(r_), kept_(r_, w_) {
        for (std::size_t t = 0; t < r_.log.takes.size(); ++t) {
            if (!r_.may_be_used(t)) continue;
            if (!is_action(r_.log.takes[t])) plays_.push_back({t, {}, Fraction(1)});
            for (std::size_t i : r_.hooks(t))
                for (Fraction speed : r_.speeds(t))
                    plays_.push_back({t, i, speed});
        }
        // One lead for all, in the middle of what is allowed: where a shot ends, and on what the next one hangs.
        std::int64_t lead = (r_.lead_min + r_.lead_max) / 2;
        for (std::size_t s = 0; s < r_.slots.size(); ++s) {
            const Slot& slot = r_.slots[s];
            if (slot.plain && slot.frame > 0) entries_.push_back({slot.frame, s, false});
            if (slot.beat && slot.frame > lead) entries_.push_back({slot.frame - lead, s, true});
        }
        std::stable_sort(entries_.begin(), entries_.end(),
                         [](const Entry& a, const Entry& b) { return a.in < b.in; });
        plan_.length = Frame{r_.length};
        plan_.song_start_s = r_.start_s;
    }

    std::optional<CutPlan> run() {
        std::vector<Entry> from{{0, 0, false}};
        for (std::size_t s = 0; s < r_.slots.size(); ++s)
            if (r_.slots[s].beat && r_.slots[s].frame >= r_.lead_min && r_.slots[s].frame <= r_.longest)
                from.push_back({0, s, true});
        std::int64_t at = 0;
        while (at < r_.length) {
            std::optional<Choice> best;
            for (const Entry& entry : from)
                consider_all(entry, best);
            if (!best) return std::nullopt;
            take(*best);
            at = best->column.out;
            if (best->column.exit) from = {entries_[*best->column.exit]};
        }
        return plan_;
    }

  private:
    struct Choice {
        Play play;
        Entry entry;
        Column column;
        double worth = 0; // points a record frame
    };

    void consider_all(const Entry& entry, std::optional<Choice>& best) {
        const Slot& slot = r_.slots[entry.slot];
        for (const Play& play : plays_) {
            if (play.contact.has_value() != entry.action || !kept_.allows(play)) continue;
            double before = worth_before(play, slot);
            for (const auto& [source_in, held] : holds(play, entry))
                for_each_end(
                    {play, entry, {0, 0, {}, entry.in, 0, source_in, held, 0, {}}, 0}, [&](Choice& choice) {
                        choice.worth = (before + points(choice)) / static_cast<double>(span(choice));
                        if ((!best || choice.worth > best->worth) && legal(choice, kept_) && goes_on(choice))
                            best = choice;
                        return false;
                    });
        }
    }

    // Points that do not depend on where the shot ends.
    double worth_before(const Play& play, const Slot& slot) const {
        bool first = kept_.plays().empty();
        Points cost = first ? w_.opening_cost(play) : w_.cost(kept_.plays().back(), play);
        double sum =
            kept_.news(play) - w_.unit(slot) * (w_.total(cost) + w_.total(w_.section_cost(play, slot)));
        return first ? sum + w_.total(w_.opening(play)) : sum;
    }
    double points(const Choice& choice) const {
        double sum = w_.total(w_.shot(choice.play, slot(choice.entry), choice.column.held, span(choice)));
        return choice.column.exit ? sum : sum + w_.total(w_.ending(choice.play));
    }
    std::int64_t span(const Choice& choice) const {
        std::int64_t from = choice.entry.in == 0 ? 0 : slot(choice.entry).frame;
        return (choice.column.exit ? slot(entries_[*choice.column.exit]).frame : r_.length) - from;
    }
    const Slot& slot(const Entry& entry) const { return r_.slots[entry.slot]; }

    std::vector<Placing::Hold> holds(const Play& play, const Entry& entry) const {
        if (play.contact) return placing_.holds_on_beat(play, entry);
        return {{0, {}}};
    }

    // Until `found` says that it has enough.
    bool for_each_end(Choice choice, const auto& found) const {
        Column& column = choice.column;
        auto first = std::lower_bound(entries_.begin(), entries_.end(), column.in + r_.shortest,
                                      [](const Entry& entry, std::int64_t at) { return entry.in < at; });
        for (auto x = static_cast<std::size_t>(first - entries_.begin()); x < entries_.size(); ++x) {
            if (entries_[x].in > column.in + r_.longest) break;
            column.out = entries_[x].in;
            column.exit = x;
            if (found(choice)) return true;
        }
        column.out = r_.length;
        column.exit = {};
        std::int64_t length = column.out - column.in;
        return length >= r_.shortest && length <= r_.longest && found(choice);
    }

    bool legal(Choice& choice, const Kept& kept) const {
        Column& column = choice.column;
        std::int64_t length = column.out - column.in;
        if (!placing_.fits(choice.play, slot(choice.entry), column) ||
            !kept.within_shares(choice.play, length))
            return false;
        if (!choice.play.contact) {
            auto free = kept.room_for(choice.play.take, length);
            column.source_in = free.value_or(0);
            return free.has_value();
        }
        return kept.shows_nothing_twice(choice.play, source(choice));
    }
    // Is there a legal shot after it? Without that the first quick turn is a dead end.
    bool goes_on(const Choice& choice) const {
        if (!choice.column.exit) return true;
        const Entry& entry = entries_[*choice.column.exit];
        Kept kept = kept_;
        kept.add(choice.play, source(choice), choice.column.out - choice.column.in);
        for (const Play& play : plays_) {
            if (play.contact.has_value() != entry.action || !kept.allows(play)) continue;
            for (const auto& [source_in, held] : holds(play, entry))
                if (for_each_end({play, entry, {0, 0, {}, entry.in, 0, source_in, held, 0, {}}, 0},
                                 [&](Choice& next) { return legal(next, kept); }))
                    return true;
        }
        return false;
    }
    static FrameRange source(const Choice& choice) {
        std::int64_t in = *choice.column.source_in;
        return {Frame{in}, Frame{in + choice.column.source_length(choice.play.speed)}};
    }

    void take(const Choice& choice) {
        const Take& take = r_.log.takes[choice.play.take];
        PlannedShot shot;
        shot.take = choice.play.take;
        shot.record = {Frame{choice.column.in}, Frame{choice.column.out}};
        shot.source_in = Frame{*choice.column.source_in};
        shot.speed = choice.play.speed;
        if (auto contact = choice.play.contact) {
            shot.id = take.impacts[*contact].id;
            const double error = choice.column.held.front().error;
            shot.anchors = {{*contact, *r_.slots[choice.entry.slot].beat, error / r_.fps}};
        } else
            shot.id = fmt::format("{}@{}", take.id, ++ordinals_[shot.take]);
        plan_.shots.push_back(shot);
        kept_.add(choice.play, source(choice), choice.column.out - choice.column.in);
    }

    Rules r_;
    Worth w_;
    Placing placing_;
    Kept kept_;
    std::vector<Play> plays_;
    std::vector<Entry> entries_;
    std::map<std::size_t, int> ordinals_;
    CutPlan plan_;
};

} // namespace

std::optional<CutPlan> greedy_cut(const solve::Problem& problem) {
    return Greedy(problem).run();
}

} // namespace downball::bench
