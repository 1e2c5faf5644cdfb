// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/cut.h"

#include <algorithm>
#include <cmath>

namespace downball::solve {
namespace {

const Play& play_of(const Setting& setting, const Piece& piece) {
    return setting.stock.plays[piece.play];
}

bool shows(const Setting& setting, const Piece& piece, std::size_t contact) {
    const Play& play = play_of(setting, piece);
    double at = setting.clip_of(play).contacts[contact];
    return holds(play, contact) || (at >= static_cast<double>(piece.source_in) &&
                                    at < static_cast<double>(piece.source_out(play.speed)));
}

// Do two shots of one moment, from different takes, show the same contact? If any contact of the moment has
// no skill, they cannot be told apart and count as the same.
bool show_same_contact(const Setting& setting, const Piece& a, const Piece& b) {
    const Clip& x = setting.clip_of(play_of(setting, a));
    const Clip& y = setting.clip_of(play_of(setting, b));
    if (!x.told) return true;
    for (std::size_t i = 0; i < x.contacts.size(); ++i) {
        if (!shows(setting, a, i)) continue;
        for (std::size_t j = 0; j < y.contacts.size(); ++j)
            if (x.contact_keys[i] == y.contact_keys[j] && shows(setting, b, j)) return true;
    }
    return false;
}

bool seen_differently(const Setting& setting, const Piece& a, const Piece& b) {
    const Take& x = setting.take_of(setting.clip_of(play_of(setting, a)));
    const Take& y = setting.take_of(setting.clip_of(play_of(setting, b)));
    return x.camera != y.camera || x.angle != y.angle ||
           play_of(setting, a).speed != play_of(setting, b).speed;
}

// Does the shot end soon enough after the last contact it shows?
bool ends_in_time(const Setting& setting, const Piece& piece) {
    const Play& play = play_of(setting, piece);
    if (play.tail_free) return true;
    double longest_tail = setting.grid.tail_max + 1e-6;
    double out = static_cast<double>(piece.out - piece.in);
    auto tail_after = [&](double at) { // of contacts from the last that is held on
        return out - (at - static_cast<double>(piece.source_in + piece.skew)) / play.v;
    };
    if (tail_after(play.last_at) <= longest_tail) return true;
    const Clip& clip = setting.clip_of(play);
    for (std::size_t n = clip.contacts.size(); n-- > 0;)
        if (shows(setting, piece, n)) return tail_after(clip.contacts[n]) <= longest_tail;
    return false;
}

} // namespace

bool fits(const Setting& setting, const Piece& piece) {
    const Grid& grid = setting.grid;
    const Play& play = play_of(setting, piece);
    const Clip& clip = setting.clip_of(play);
    const Slot& slot = grid.slots[piece.slot];
    std::int64_t length = piece.out - piece.in;
    if (length < play.shortest || length > grid.longest) return false;
    if (piece.source_in < clip.first || piece.source_out(play.speed) > clip.last) return false;
    if (play.impact < 0) return slot.plain && piece.in == slot.frame;
    std::int64_t lead = slot.frame - piece.in;
    return slot.beat >= 0 && lead >= grid.lead_min && (lead <= play.lead_max || piece.in == 0) &&
           piece.out >= slot.frame + piece.span + std::max<std::int64_t>(1, grid.tail) &&
           ends_in_time(setting, piece);
}

bool overlap(const Setting& setting, const Piece& a, const Piece& b) {
    const Play& p = play_of(setting, a);
    const Play& q = play_of(setting, b);
    return setting.clip_of(p).media == setting.clip_of(q).media && a.source_in < b.source_out(q.speed) &&
           b.source_in < a.source_out(p.speed);
}

bool contradict(const Setting& setting, const Piece& a, const Piece& b) {
    const Play& p = play_of(setting, a);
    const Play& q = play_of(setting, b);
    const Clip& x = setting.clip_of(p);
    const Clip& y = setting.clip_of(q);
    if (hold_same(p, q)) return true;
    if (out_of_order(setting, p, q)) return true;
    if (x.moment < 0 || x.moment != y.moment) return false;
    if (x.reaction && y.action) return true;
    if (x.action && y.action && p.clip != q.clip && show_same_contact(setting, a, b))
        return !setting.problem.limits.variety.replays || !seen_differently(setting, a, b);
    return false;
}

bool clash(const Setting& setting, const Piece& a, const Piece& b) {
    return overlap(setting, a, b) || contradict(setting, a, b);
}

std::optional<std::int64_t> free_source(const Setting& setting, std::size_t play_index, std::int64_t length,
                                        const Cut& others, bool middle_first) {
    const Play& play = setting.stock.plays[play_index];
    const Clip& clip = setting.clip_of(play);
    std::int64_t room = clip.last - clip.first - source_length(length, play.speed);
    if (room < 0) return std::nullopt;
    std::int64_t need = source_length(length, play.speed);
    auto taken_until = [&](std::int64_t from) -> std::int64_t {
        for (const Piece& other : others) {
            const Play& its = play_of(setting, other);
            if (setting.clip_of(its).media != clip.media) continue;
            std::int64_t out = other.source_out(its.speed);
            if (from < out && other.source_in < from + need) return out;
        }
        return from;
    };
    std::int64_t middle = clip.first + room / 2;
    if (middle_first && taken_until(middle) == middle) return middle;
    for (std::int64_t from = clip.first; from <= clip.first + room;) {
        std::int64_t next = taken_until(from);
        if (next == from) return from;
        from = next;
    }
    return std::nullopt;
}

std::vector<double> row_sums(const Setting& setting, const Rows& rows, const Cut& cut) {
    std::vector<double> sums(rows.rows.size());
    for (const Piece& piece : cut) {
        for (std::size_t r : rows.of_clip[play_of(setting, piece).clip])
            sums[r] += rows.rows[r].use;
        for (const RowUse& its : rows.of_play[piece.play])
            sums[its.row] += its.use;
        for (std::size_t r : rows.length_of[piece.play])
            sums[r] += rows.rows[r].use * static_cast<double>(piece.out - piece.in);
    }
    return sums;
}

bool keeps_rows(const Rows& rows, const std::vector<double>& sums) {
    for (std::size_t r = 0; r < sums.size(); ++r)
        if (!rows.rows[r].soft() && sums[r] > rows.rows[r].most + 1e-9) return false;
    return true;
}

bool keeps_pins(const Setting& setting, const std::vector<Pin>& pins, const Cut& cut) {
    for (const Pin& pin : pins) {
        int ordinal = 0;
        bool found = false;
        for (const Piece& piece : cut) {
            if (play_of(setting, piece).clip == pin.clip) ++ordinal;
            bool named = pin.ordinal > 0
                             ? play_of(setting, piece).clip == pin.clip && ordinal == pin.ordinal
                             : std::find(pin.plays.begin(), pin.plays.end(), piece.play) != pin.plays.end();
            if (named && (!pin.record_in || *pin.record_in == piece.in) &&
                (!pin.source_in || *pin.source_in == piece.source_in)) {
                found = true;
                break;
            }
        }
        if (!found) return false;
    }
    return true;
}

Values cut_values(const Setting& setting, const Cut& cut) {
    const Grid& grid = setting.grid;
    Values values{};
    for (std::size_t t = term::variety; t <= term::side; ++t)
        values[t] = 1;
    double length = static_cast<double>(grid.length);
    std::vector<char> players(setting.stock.player_names.size()), skills(8),
        shown(setting.stock.clips.size());
    double repeats = 0;
    const Play* before = nullptr;
    for (std::size_t n = 0; n < cut.size(); ++n) {
        const Piece& piece = cut[n];
        const Play& play = play_of(setting, piece);
        const Clip& clip = setting.clip_of(play);
        const Slot& slot = grid.slots[piece.slot];
        std::int64_t from = n == 0 ? 0 : slot.frame;
        std::int64_t to = n + 1 < cut.size() ? grid.slots[cut[n + 1].slot].frame : grid.length;
        double span = static_cast<double>(to - from);
        double share = span / length;
        values[term::sync] += share * sync_value(play.impact >= 0 ? piece.error : border_error(slot));
        values[term::accent] += share * accent_value(setting, play, slot);
        values[term::confidence] += share * play.confidence;
        values[term::rating] += share * rating_value(setting.take_of(clip).rating);
        values[term::rally] += share * rally_value(play);
        values[term::pace] += share * pace_value(slot, play.slow, span);
        values[term::keep] += share * keep_value(play, slot);
        Values costs = pair_costs(setting, before, play);
        if (clip.action) costs[term::spread] += slot.calm;
        for (std::size_t t = term::variety; t <= term::side; ++t)
            values[t] -= slot.unit * costs[t];
        values[term::story] += arrival_value(setting, play, piece.slot);
        if (n == 0) values[term::story] += opening_value(setting, clip);
        if (n + 1 == cut.size()) values[term::story] += ending_value(setting, clip);
        for (int player : setting.stock.clip_players[play.clip])
            players[static_cast<std::size_t>(player)] = 1;
        for (int skill : play.skills)
            skills[static_cast<std::size_t>(skill)] = 1;
        if (shown[play.clip]) repeats += 1;
        shown[play.clip] = 1;
        before = &play;
    }
    double all = static_cast<double>(setting.stock.player_names.size() + setting.stock.skill_list.size());
    auto seen = std::count(players.begin(), players.end(), 1) + std::count(skills.begin(), skills.end(), 1);
    values[term::coverage] = all > 0 ? static_cast<double>(seen) / all : 0;
    values[term::fresh] = 1 - repeats / grid.expected_shots;
    return values;
}

double cut_score(const Setting& setting, const Cut& cut) {
    Values values = cut_values(setting, cut);
    double sum = 0;
    for (std::size_t t = 0; t < term::count; ++t)
        sum += setting.weight[t] * values[t];
    return sum;
}

} // namespace downball::solve
