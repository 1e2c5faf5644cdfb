// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/beats/song_cut.h"

#include "beats/song_borders.h"
#include "beats/song_jumps.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>
#include <numeric>

namespace downball::beats {

namespace {

constexpr double sample_hz = 48000; // of the cut song, see song_cut.h of the model
constexpr double fade_in_s = 0.005;
constexpr double crossfade_s = 0.02;      // ends 15 ms before the beat
constexpr double longest_fade_s = 2;      // longer, it would be a fade of the music and not of its last hit
constexpr double least_lost_s = 0.1;      // so little of its end is no loss to a song
constexpr double shortest_tail_s = 0.25;  // less than this of a last hit is a click
constexpr double struck = 0.2;            // strength of a beat that is
constexpr std::size_t most_entries = 400; // a song of hours is entered on its larger borders alone
constexpr std::array begin_worth{0.0, 0.1, 0.25, 0.5, 1.0}; // by Level
constexpr std::array end_worth{0.0, 0.1, 0.3, 0.5, 0.8};

// How much each wish counts. An arrival outweighs all others together; a jump must be worth its while.
constexpr double weigh_arrival = 10, weigh_place = 1.5, weigh_ending = 2, weigh_begin = 1.5, weigh_energy = 1,
                 weigh_variety = 0.7, weigh_missing_bar = 10, jump_costs = 0.6, unlike_costs = 4,
                 repeat_costs = 0.6;

double whole_samples(double seconds) {
    return std::round(seconds * sample_hz) / sample_hz;
}

struct Entry {
    double in_s = 0;
    double worth = 0;
};

struct Candidate {
    Entry entry;
    const Jump* jump = nullptr;
    double out_s = 0; // of the last piece
    double fade_out_s = 0, silence_s = 0, short_by_s = 0;
    SongEnding ending = SongEnding::cut_off;
    double end_worth = 0;
    double score = 0;
};

class Chooser {
  public:
    Chooser(const BeatGrid& grid, const SongWish& wish)
        : grid_(grid), wish_(wish), borders_(grid), period_s_(60 / std::max(1.0, grid.tempo_bpm)),
          bar_s_(period_s_ * std::max(1, grid.beats_per_bar)) {
        energy_.push_back(0);
        for (const Beat& beat : grid.beats)
            energy_.push_back(energy_.back() + beat.energy);
        for (std::size_t i = 0; i < grid.beats.size(); ++i)
            if (!borders_.bars_known() || grid.beats[i].position == 1) bars_.push_back(i);
        if (wish.jump && wish.length_s) jumps_ = likely_jumps(grid, borders_);
    }

    Candidate best() const {
        std::optional<Candidate> best;
        const auto offer = [&](const Entry& entry, const Jump* jump) {
            if (auto made = judged(entry, jump); made && (!best || made->score > best->score + 1e-9))
                best = std::move(made);
        };
        const auto ways_in = entries();
        for (const Entry& entry : ways_in)
            offer(entry, nullptr);
        for (const Entry& entry : ways_in)
            for (const Jump& jump : jumps_)
                offer(entry, &jump);
        return *best; // a cut without a jump can always be made
    }

  private:
    double at_s(std::size_t beat) const { return grid_.beats[beat].seconds; }

    std::vector<Entry> entries() const {
        if (wish_.start_s) return {{*wish_.start_s, 1}};
        // With the song itself: as good as a phrase, unless one has to wait for the music.
        const double wait_s = grid_.beats.empty() ? 0 : at_s(0);
        std::vector<Entry> out{{0, std::max(0.1, 0.9 - 0.2 * wait_s)}};
        if (!wish_.length_s) return out;
        const auto lowest = bars_.size() > most_entries ? Level::half_phrase : Level::beat;
        for (const std::size_t beat : bars_)
            if (borders_.level(beat) >= lowest && at_s(beat) > ahead_of_beat_s)
                out.push_back({at_s(beat) - ahead_of_beat_s,
                               begin_worth[static_cast<std::size_t>(borders_.level(beat))]});
        return out;
    }

    std::size_t first_beat_from(double seconds) const {
        return static_cast<std::size_t>(
            std::lower_bound(grid_.beats.begin(), grid_.beats.end(), seconds,
                             [](const Beat& b, double s) { return b.seconds < s; }) -
            grid_.beats.begin());
    }

    std::optional<Candidate> judged(const Entry& entry, const Jump* jump) const {
        Candidate made;
        made.entry = entry;
        made.jump = jump;
        double shift_s = entry.in_s; // record = song - shift, in the last piece
        double piece_s = entry.in_s; // where the last piece begins in the song
        if (jump) {
            const double piece_least_s = std::min(4 * bar_s_, *wish_.length_s / 4);
            if (at_s(jump->leave) - ahead_of_beat_s - entry.in_s < piece_least_s) return std::nullopt;
            shift_s += at_s(jump->enter) - at_s(jump->leave);
            piece_s = at_s(jump->enter) - ahead_of_beat_s;
            const double end_s = std::min(*wish_.length_s + shift_s, grid_.duration_s);
            if (end_s - piece_s < piece_least_s) return std::nullopt;
        }
        end(made, shift_s, piece_s);
        // Where beats are missing at an end, pictures are as good as missing.
        const double missing_s = made.short_by_s + beatless_s(made, shift_s);
        made.score = weigh_begin * entry.worth + weigh_ending * made.end_worth + by_arrival(made, shift_s) +
                     by_energy(made, piece_s) - weigh_missing_bar * missing_s / bar_s_;
        if (jump)
            made.score -= jump_costs + unlike_costs * (1 - jump->likeness) +
                          (jump->enter < jump->leave ? repeat_costs : 0); // a stretch is heard twice
        return made;
    }

    // Beats are laid on into a ring-out; its hit is the last that is struck.
    double last_struck_s() const {
        for (auto beat = grid_.beats.rbegin(); beat != grid_.beats.rend(); ++beat)
            if (beat->strength >= struck) return beat->seconds;
        return grid_.beats.empty() ? 0 : grid_.beats.back().seconds;
    }

    // By how much the rests before the first beat and after the last are too long.
    double beatless_s(const Candidate& made, double shift_s) const {
        if (grid_.beats.empty()) return 0;
        const std::size_t first = first_beat_from(made.entry.in_s);
        const double wait_s = first < grid_.beats.size() ? at_s(first) - made.entry.in_s : 0;
        const double rest_s =
            wish_.length_s.value_or(made.out_s - shift_s) - (grid_.beats.back().seconds - shift_s);
        return std::max(0.0, wait_s - wish_.longest_rest_s) + std::max(0.0, rest_s - wish_.longest_rest_s);
    }

    // Where the last piece ends and how.
    void end(Candidate& made, double shift_s, double piece_s) const {
        const double over_s = grid_.duration_s - shift_s; // on the record
        const double length_s = wish_.length_s.value_or(over_s);
        if (over_s <= length_s + 0.5 / sample_hz) {
            made.ending = SongEnding::own;
            made.out_s = grid_.duration_s;
            const double rest_s = std::max(0.0, length_s - over_s);
            (rest_s <= bar_s_ ? made.silence_s : made.short_by_s) = rest_s;
            made.end_worth = 1 - 0.4 * made.silence_s / bar_s_;
            return;
        }
        made.out_s = length_s + shift_s;
        const double last_s = last_struck_s();
        const double lost_s = over_s - length_s;
        const double rings_s = made.out_s - last_s;
        if (lost_s <= least_lost_s || (last_s > piece_s && rings_s >= std::min(1.0, 2 * period_s_))) {
            made.ending =
                SongEnding::own; // its last hit rings into the fade, as long as what is lost asks for
            made.fade_out_s = std::max(0.03, std::min({4 * lost_s, rings_s - 0.15, longest_fade_s}));
            made.end_worth = 0.95;
            return;
        }
        const auto past = std::partition_point(bars_.begin(), bars_.end(), [&](std::size_t beat) {
            return at_s(beat) - ahead_of_beat_s <= made.out_s + 0.5 / sample_hz;
        });
        if (past == bars_.begin() || at_s(*(past - 1)) < piece_s + bar_s_) {
            made.fade_out_s = std::min(0.5, length_s / 4);
            return;
        }
        end_on(made, *(past - 1));
    }

    // The beat that completes a bar or more is struck and fades; where too little is left for that, the music
    // stops before it.
    void end_on(Candidate& made, std::size_t beat) const {
        const Level level = borders_.level(beat);
        made.ending = level >= Level::half_phrase ? SongEnding::phrase
                      : level == Level::bar       ? SongEnding::bar
                                                  : SongEnding::beat;
        made.end_worth = end_worth[static_cast<std::size_t>(level)];
        const double tail_s = made.out_s - at_s(beat);
        if (tail_s >= shortest_tail_s) {
            made.fade_out_s = std::min(tail_s, longest_fade_s);
            made.silence_s = tail_s - made.fade_out_s;
        } else {
            made.fade_out_s = std::min(period_s_, 0.4);
            made.silence_s = std::max(0.0, tail_s + ahead_of_beat_s);
            made.end_worth *= 0.8;
        }
        made.out_s -= made.silence_s;
    }

    double by_arrival(const Candidate& made, double shift_s) const {
        if (!grid_.arrival) return 0;
        const double arrival_s = at_s(*grid_.arrival);
        const bool early = arrival_s >= made.entry.in_s && (!made.jump || *grid_.arrival < made.jump->leave);
        const bool late = made.jump && *grid_.arrival >= made.jump->enter;
        if (!early && !late) return 0;
        const double at = arrival_s - (early ? made.entry.in_s : shift_s); // on the record
        const double length_s = made.out_s - shift_s;
        if (at > length_s - bar_s_) return 0;
        // Its build is heard without a seam.
        const double build_s = early ? at : arrival_s - at_s(made.jump->enter) + ahead_of_beat_s;
        const double wanted_s = std::min(4 * bar_s_, 0.15 * length_s);
        const double built = std::clamp(build_s / wanted_s, 0.0, 1.0);
        const double off = std::max(0.0, std::abs(at / length_s - 0.4) - 0.2);
        return weigh_arrival * (0.5 + 0.5 * built) + weigh_place * std::max(0.0, 1 - off / 0.4);
    }

    // Liveliness, and that more than one of the song's levels is heard.
    double by_energy(const Candidate& made, double piece_s) const {
        std::vector<std::pair<std::size_t, std::size_t>> runs;
        if (made.jump) runs.emplace_back(first_beat_from(made.entry.in_s), made.jump->leave);
        runs.emplace_back(first_beat_from(made.jump ? piece_s : made.entry.in_s),
                          first_beat_from(made.out_s));
        double sum = 0, beats = 0;
        double low = 1, high = 0, song_low = 1, song_high = 0;
        for (const auto& [first, last] : runs)
            if (first < last) {
                sum += energy_[last] - energy_[first];
                beats += static_cast<double>(last - first);
            }
        for (const Section& section : grid_.sections) {
            song_low = std::min(song_low, section.energy);
            song_high = std::max(song_high, section.energy);
            for (const auto& [first, last] : runs)
                if (std::min(last, section.last) >= std::max(first, section.first) + 4) {
                    low = std::min(low, section.energy);
                    high = std::max(high, section.energy);
                }
        }
        const double levels = song_high > song_low && high > low ? (high - low) / (song_high - song_low) : 0;
        return weigh_energy * (beats > 0 ? sum / beats : 0) + weigh_variety * levels;
    }

    const BeatGrid& grid_;
    const SongWish& wish_;
    SongBorders borders_;
    double period_s_, bar_s_;
    std::vector<Jump> jumps_;
    std::vector<double> energy_;    // running sum
    std::vector<std::size_t> bars_; // downbeats; all beats where bars are not known
};

SongCut as_cut(const BeatGrid& grid, const SongWish& wish, const Candidate& chosen) {
    SongCut cut;
    const double in_s = whole_samples(chosen.entry.in_s), out_s = whole_samples(chosen.out_s);
    if (chosen.jump) {
        const double leave_s = whole_samples(grid.beats[chosen.jump->leave].seconds - ahead_of_beat_s);
        const double enter_s = whole_samples(grid.beats[chosen.jump->enter].seconds - ahead_of_beat_s);
        cut.pieces = {{in_s, leave_s}, {enter_s, out_s}};
        cut.crossfade_s = crossfade_s;
        cut.likeness = chosen.jump->likeness;
    } else {
        cut.pieces = {{in_s, out_s}};
    }
    cut.fade_in_s = in_s > 0 ? fade_in_s : 0;
    cut.fade_out_s = chosen.fade_out_s;
    cut.ending = chosen.ending;
    if (wish.length_s && chosen.short_by_s <= 0)
        cut.silence_s = std::max(0.0, *wish.length_s - cut.length_s());
    return cut;
}

} // namespace

Result<SongCut> cut_song(const BeatGrid& grid, const SongWish& wish) {
    if (wish.length_s && !(*wish.length_s > 0))
        return Error{Fault::bad_input,
                     fmt::format("found a length of {} s, expected more than 0", *wish.length_s), ""};
    if (wish.start_s && !(*wish.start_s >= 0 && *wish.start_s < grid.duration_s))
        return Error{
            Fault::bad_input,
            fmt::format("the cut starts at {:.3f} s of a song that lasts {:.3f} s; choose an earlier "
                        "song.start_s",
                        *wish.start_s, grid.duration_s),
            ""};
    const Chooser chooser(grid, wish);
    return as_cut(grid, wish, chooser.best());
}

} // namespace downball::beats
