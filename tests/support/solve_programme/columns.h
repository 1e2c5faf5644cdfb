// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "support/solve_programme/program.h"
#include "support/solve_programme/worth.h"

namespace downball::tests::programme {

// Where a shot begins and hangs.
struct Entry {
    std::int64_t in = 0;
    std::size_t slot = 0;
    bool action = false;
};

// A shot with its place: it enters at one entry and ends where another shot enters, or at the end of the cut.
struct Column {
    std::size_t play = 0, entry = 0;
    std::optional<std::size_t> exit; // entry of the next shot; nothing = the end of the cut
    std::int64_t in = 0, out = 0;
    std::optional<std::int64_t> source_in; // actions only; other shots get theirs in Packing
    std::vector<Held> held;                // of actions
    std::int64_t skew = 0;                 // source frames that a rally shows over its record length
    Points points{};
    std::int64_t source_length(Fraction speed) const { return ceil(Fraction(out - in) * speed) + skew; }
};

// Where a shot may stand, looked at by itself.
class Placing {
  public:
    explicit Placing(const Rules& rules) : r_(rules), rallies_(rules) {}

    struct Hold {
        std::int64_t source_in = 0;
        std::vector<Held> held;
    };
    // Source places at which a contact lies within half a frame of its beat: (contact - source in) / speed + in - beat.
    std::vector<Hold> holds_on_beat(const Play& play, const Entry& entry) const {
        const Slot& slot = r_.slots[entry.slot];
        std::vector<Hold> found;
        if (entry.in > 0 && slot.frame - entry.in > r_.most_lead(play.speed)) return found;
        if (play.held > 1) {
            if (entry.in == slot.frame) return found;
            auto held = rallies_.hold(play.take, successive(r_, play.take, *play.contact, play.held),
                                      play.slowed, entry.slot);
            if (!held.empty()) found.push_back({held.front().source - (slot.frame - entry.in), held});
            return found;
        }
        double contact = r_.contact_at(play.take, *play.contact), speed = play.speed.to_double();
        double wished = contact - (slot.at - static_cast<double>(entry.in)) * speed;
        for (std::int64_t source = down(wished - speed / 2); source <= up(wished + speed / 2); ++source) {
            double error =
                (contact - static_cast<double>(source)) / speed + static_cast<double>(entry.in) - slot.at;
            if (std::abs(error) <= 0.5 + hair)
                found.push_back({source, {{*play.contact, entry.slot, 0, error}}});
        }
        return found;
    }

    // Length, handles, tail and longest tail.
    bool fits(const Play& play, const Slot& slot, const Column& column) const {
        std::int64_t length = column.out - column.in;
        bool slow = play.slowed || play.speed < Fraction(1);
        if (length < r_.least_length(play.take, slow) || length > r_.longest) return false;
        FrameRange room = r_.room(play.take);
        std::int64_t taken = column.source_length(play.speed);
        if (!play.contact) return taken <= room.length().n;
        FrameRange source{Frame{*column.source_in}, Frame{*column.source_in + taken}};
        std::int64_t last_frame = play.held > 1 ? rallies_.frame(column.held.back()) : slot.frame;
        if (!room.contains(source) || column.out < last_frame + r_.tail) return false;
        if (r_.log.takes[play.take].size == Size::wide) return true;
        double held = r_.contact_at(play.take, column.held.back().contact), last = held;
        for (std::size_t i : r_.shown(play.take, source))
            last = std::max(last, r_.contact_at(play.take, i));
        // From the last contact held on, the shot runs at one speed.
        double shown_at = r_.slots[column.held.back().slot].at + column.held.back().error +
                          (last - held) / play.speed.to_double();
        double most = std::max(r_.limits.pacing.tail_max_s * r_.fps, static_cast<double>(r_.tail));
        return static_cast<double>(column.out) - shown_at <= most + hair;
    }

  private:
    const Rules& r_;
    Rallies rallies_;
};

// Every shot there could be, at every place, of a whole problem.
class Columns {
  public:
    Columns(const Rules& rules, const Worth& worth, std::size_t most)
        : r_(rules), w_(worth), placing_(rules), most_(most) {
        make_plays();
        make_entries();
        for (std::size_t e = 0; e < entries.size(); ++e)
            for (std::size_t p = 0; p < plays.size() && !too_many(); ++p)
                if (is_action(p) == entries[e].action) add(p, e);
        if (!too_many()) drop_dead_ends();
    }
    std::vector<Play> plays;
    std::vector<Entry> entries; // opening ones have in == 0
    std::vector<Column> all;

    bool too_many() const { return all.size() > most_; } // then not all of them
    Sum sum(const auto& is) const {                      // of the columns for which it holds
        Sum chosen;
        for (std::size_t c = 0; c < all.size(); ++c)
            if (is(all[c])) chosen.push_back({c, 1.0});
        return chosen;
    }
    bool is_action(std::size_t play) const { return plays[play].contact.has_value(); }

  private:
    void make_plays() {
        for (std::size_t t = 0; t < r_.log.takes.size(); ++t) {
            if (!r_.may_be_used(t)) continue;
            if (!programme::is_action(r_.log.takes[t])) plays.push_back({t, {}, Fraction(1)});
            for (std::size_t i : r_.hooks(t))
                for (Fraction speed : r_.speeds(t))
                    plays.push_back({t, i, speed});
            make_rallies(t);
        }
    }

    // All their contacts lie where a shot may hang on them.
    void make_rallies(std::size_t t) {
        auto hooks = r_.hooks(t);
        for (std::size_t i : hooks)
            for (int held = 2; held <= std::min(4, r_.limits.rally.contacts_max); ++held) {
                auto contacts = successive(r_, t, i, held);
                bool inside = static_cast<int>(contacts.size()) == held;
                for (std::size_t each : contacts)
                    inside = inside && std::count(hooks.begin(), hooks.end(), each) > 0;
                if (!inside) continue;
                plays.push_back({t, i, Fraction(1), held, false});
                if (Rallies(r_).slow_least(t)) plays.push_back({t, i, Fraction(1), held, true});
            }
    }

    void make_entries() {
        std::int64_t most = r_.lead_max;
        for (const Play& play : plays)
            most = std::max(most, r_.most_lead(play.speed));
        entries.push_back({0, 0, false});
        for (std::size_t s = 0; s < r_.slots.size(); ++s) {
            const Slot& slot = r_.slots[s];
            if (slot.plain && slot.frame > 0) entries.push_back({slot.frame, s, false});
            if (!slot.beat) continue;
            if (slot.frame >= r_.lead_min) entries.push_back({0, s, true});
            for (std::int64_t lead = r_.lead_min; lead <= most; ++lead)
                if (slot.frame > lead) entries.push_back({slot.frame - lead, s, true});
        }
    }

    void add(std::size_t p, std::size_t e) {
        const Entry& entry = entries[e];
        if (!is_action(p)) exits({p, e, {}, entry.in, 0, {}, {}, 0, {}});
        for (const auto& [source_in, held] :
             is_action(p) ? placing_.holds_on_beat(plays[p], entry) : std::vector<Placing::Hold>{}) {
            std::int64_t skew = 0;
            if (plays[p].held > 1)
                skew = held.back().source - held.front().source -
                       (r_.slots[held.back().slot].frame - r_.slots[held.front().slot].frame);
            exits({p, e, {}, entry.in, 0, source_in, held, skew, {}});
        }
    }

    void exits(Column column) {
        for (std::size_t x = 0; x <= entries.size(); ++x) {
            if (x < entries.size() && entries[x].in == 0) continue;
            column.out = x < entries.size() ? entries[x].in : r_.length;
            column.exit = x < entries.size() ? std::optional(x) : std::nullopt;
            const Slot& slot = r_.slots[entries[column.entry].slot];
            if (!placing_.fits(plays[column.play], slot, column)) continue;
            std::int64_t from = column.in == 0 ? 0 : slot.frame;
            std::int64_t to = column.exit ? r_.slots[entries[x].slot].frame : r_.length;
            column.points = w_.shot(plays[column.play], slot, column.held, to - from);
            all.push_back(column);
        }
    }

    // Shots that cannot stand in any cut from 0 to the end, whatever the others: no loss.
    void drop_dead_ends() {
        std::size_t before;
        do {
            before = all.size();
            std::vector<char> ends(entries.size()), begins(entries.size());
            for (const Column& column : all) {
                begins[column.entry] = 1;
                if (column.exit) ends[*column.exit] = 1;
            }
            std::erase_if(all, [&](const Column& column) {
                return (column.in > 0 && !ends[column.entry]) || (column.exit && !begins[*column.exit]);
            });
        } while (all.size() < before);
    }

    const Rules& r_;
    const Worth& w_;
    Placing placing_;
    std::size_t most_;
};

} // namespace downball::tests::programme
