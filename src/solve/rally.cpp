// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/rally.h"

#include "downball/model/source_count.h"

#include <algorithm>
#include <cmath>

namespace downball::solve {
namespace {

constexpr double tie = 1e-6;  // frames; as in time/rate.h
constexpr double hair = 1e-9; // of speeds, which are ratios of whole frames

// A tie leaves the contact half a frame early: the later source frame is taken.
std::int64_t source_on(double contact, const Slot& slot) {
    return static_cast<std::int64_t>(
        std::floor(contact - (slot.at - static_cast<double>(slot.frame)) + 0.5 + tie));
}

double contact_of(const Clip& clip, const Play& play, std::size_t n) {
    return clip.contacts[static_cast<std::size_t>(play.contact) + n];
}

double nearness(double speed) {
    return std::min(speed, 1 / speed);
}

double gap_speed(const Grid& grid, const OnBeats::Hold& from, const OnBeats::Hold& to) {
    return static_cast<double>(to.source - from.source) /
           static_cast<double>(grid.slots[to.slot].frame - grid.slots[from.slot].frame);
}

// Speeds allowed between two contacts. Slowed ones are all below `most`.
struct Speeds {
    double least = 1, most = 1;
    bool slowed = false;

    bool allow(double speed) const {
        return speed >= least - hair && (slowed ? speed < most - hair : speed <= most + hair);
    }
};

// The slot that a contact takes after the one before it, which hangs on `from`; 0 = none.
std::size_t next_slot(const Grid& grid, const Speeds& speeds, double before, std::size_t from,
                      double contact) {
    const OnBeats::Hold first{from, source_on(before, grid.slots[from]), 0};
    std::size_t best = 0;
    double best_speed = 0;
    for (std::size_t s = from + 1; s < grid.slots.size(); ++s) {
        if (grid.slots[s].beat < 0 || grid.slots[s].frame <= grid.slots[from].frame) continue;
        const double speed = gap_speed(grid, first, {s, source_on(contact, grid.slots[s]), 0});
        if (speed < speeds.least / 2) break; // later beats ask for less still
        if (!speeds.allow(speed)) continue;
        if (speeds.slowed) return s;
        if (best > 0 && nearness(speed) <= nearness(best_speed) + hair) continue;
        best = s;
        best_speed = speed;
    }
    return best;
}

// For each contact but the last, as far as shots may hang by it and by the next.
void list_next_slots(const Grid& grid, const Speeds& speeds, Clip& clip) {
    auto& next = clip.next_slots[speeds.slowed ? 1 : 0];
    const std::size_t slots = grid.slots.size();
    next.assign(clip.contacts.size() * slots, 0);
    for (std::size_t c = 0; c + 1 < clip.contacts.size(); ++c)
        for (std::size_t s = 0; s < slots; ++s)
            if (grid.slots[s].beat >= 0)
                next[c * slots + s] = static_cast<std::uint16_t>(
                    next_slot(grid, speeds, clip.contacts[c], s, clip.contacts[c + 1]));
}

// Between its neighbours' joints the contact lies a hair from its own joint, on either side.
double error_of(const Grid& grid, const OnBeats& rally, std::size_t n, double contact) {
    const Slot& slot = grid.slots[rally.holds[n].slot];
    const double past = contact - static_cast<double>(rally.holds[n].source);
    double speed = 1;
    if (past < 0 && n > 0)
        speed = gap_speed(grid, rally.holds[n - 1], rally.holds[n]);
    else if (past > 0 && n + 1 < rally.count)
        speed = gap_speed(grid, rally.holds[n], rally.holds[n + 1]);
    return static_cast<double>(slot.frame) + past / speed - slot.at;
}

constexpr auto no_play = static_cast<std::size_t>(-1);

// By contact, the play that holds it alone in real time.
std::vector<std::size_t> single_plays(const Clip& clip, const Stock& stock) {
    std::vector<std::size_t> single(clip.contacts.size(), no_play);
    for (std::size_t p : clip.plays)
        if (stock.plays[p].speed == Fraction(1)) single[static_cast<std::size_t>(stock.plays[p].contact)] = p;
    return single;
}

void add_skills(Play& play, const std::vector<int>& skills) {
    play.skills.insert(play.skills.end(), skills.begin(), skills.end());
    std::sort(play.skills.begin(), play.skills.end());
    play.skills.erase(std::unique(play.skills.begin(), play.skills.end()), play.skills.end());
}

} // namespace

std::optional<OnBeats> on_beats(const Grid& grid, const Clip& clip, const Play& play, const Slot& first) {
    if (first.beat < 0) return std::nullopt;
    OnBeats rally;
    rally.count = static_cast<std::size_t>(play.held);
    rally.holds[0] = {grid.slot_of_beat[static_cast<std::size_t>(first.beat)], source_on(play.at, first), 0};
    for (std::size_t n = 1; n < rally.count; ++n) {
        const std::size_t before = static_cast<std::size_t>(play.contact) + n - 1;
        const std::size_t slot =
            clip.next_slots[play.slowed ? 1 : 0][before * grid.slots.size() + rally.holds[n - 1].slot];
        if (slot == 0) return std::nullopt;
        rally.holds[n] = {slot, source_on(contact_of(clip, play, n), grid.slots[slot]), 0};
    }
    for (std::size_t n = 0; n < rally.count; ++n) {
        double& error = rally.holds[n].error;
        error = error_of(grid, rally, n, contact_of(clip, play, n));
        if (std::abs(error) > 0.5 + 2 * tie) return std::nullopt;
    }
    return rally;
}

std::vector<Stretch> stretches(const Grid& grid, const OnBeats& rally, FrameRange record) {
    std::vector<Stretch> all;
    const auto add = [&](FrameRange on, FrameRange from) {
        if (on.empty()) return;
        if (!all.empty() && on.length() == from.length() &&
            all.back().record.length() == all.back().source.length()) {
            all.back().record.out = on.out;
            all.back().source.out = from.out;
        } else
            all.push_back({on, from});
    };
    const auto frame = [&](std::size_t n) { return Frame{grid.slots[rally.holds[n].slot].frame}; };
    const auto source = [&](std::size_t n) { return Frame{rally.holds[n].source}; };
    add({record.in, frame(0)}, {source(0) - (frame(0) - record.in), source(0)});
    for (std::size_t n = 1; n < rally.count; ++n)
        add({frame(n - 1), frame(n)}, {source(n - 1), source(n)});
    const std::size_t last = rally.count - 1;
    add({frame(last), record.out}, {source(last), source(last) + (record.out - frame(last))});
    return all;
}

void add_rally_plays(const Problem& problem, const Grid& grid, std::size_t clip_index, Stock& stock) {
    const Limits& limits = problem.limits;
    Clip& clip = stock.clips[clip_index];
    const std::size_t most = static_cast<std::size_t>(std::max(limits.rally.contacts_max, 1));
    const double slowest = limits.rally.slowest;
    // Below `slowest` only files go that have a picture for every record frame.
    const auto once = every_picture_once(problem.log.media[clip.media], grid.rate);
    const double slow_least = once ? std::max(once->to_double(), limits.variety.slowest) : slowest;
    const bool may_slow = slow_least < slowest;
    if (most > 1 && clip.contacts.size() > 1) {
        list_next_slots(grid, {slowest, limits.rally.fastest, false}, clip);
        if (may_slow) list_next_slots(grid, {slow_least, slowest, true}, clip);
    }
    const auto single = single_plays(clip, stock);
    for (std::size_t first = 0; first < clip.contacts.size(); ++first) {
        if (single[first] == no_play) continue;
        Play play = stock.plays[single[first]];
        double confidence = play.confidence;
        for (std::size_t held = 2; held <= std::min(most, most_held); ++held) {
            const std::size_t next = first + held - 1;
            if (next >= clip.contacts.size() || single[next] == no_play) break;
            const Play& its = stock.plays[single[next]];
            if ((its.at - play.at) / limits.rally.fastest > static_cast<double>(grid.longest)) break;
            play.held = static_cast<int>(held);
            play.last_at = its.at;
            play.room_after = its.room_after;
            add_skills(play, its.skills);
            confidence += its.confidence;
            play.confidence = confidence / static_cast<double>(held);
            for (const bool slowed : {false, true}) {
                if (slowed && !may_slow) continue;
                Play added = play;
                added.slowed = slowed;
                added.v_least = slowed ? slow_least : slowest;
                if (slowed) {
                    added.slow = true;
                    added.shortest = grid.shortest_slow;
                }
                clip.plays.push_back(stock.plays.size());
                stock.plays.push_back(std::move(added));
            }
        }
    }
}

} // namespace downball::solve
