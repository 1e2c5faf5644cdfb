// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/cut.h"
#include "solve/rally.h"

#include "downball/model/m2.h"
#include "downball/model/source_count.h"
#include "downball/solve/terms.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace downball::solve {
namespace {

constexpr const char* term_names[term::count] = {"sync",       "accent", "confidence", "rating",   "rally",
                                                 "pace",       "keep",   "variety",    "reaction", "spread",
                                                 "chronology", "side",   "story",      "coverage", "fresh"};

// Record instant of a contact, in record frames.
double record_of(double at, const PlannedShot& shot, double v) {
    return static_cast<double>(shot.record.in.n) + (at - static_cast<double>(shot.source_in.n)) / v;
}

// Contacts of the shot that meet a beat by themselves: each on its nearest beat, tail inside.
void add_welcome_hits(const Setting& setting, const Clip& clip, const Play& play, PlannedShot& shot) {
    const Grid& grid = setting.grid;
    const Take& take = setting.take_of(clip);
    const SourceCount count = count_source(setting.problem.log.media[take.media], grid.rate);
    for (std::size_t n = 0; n < take.impacts.size(); ++n) {
        const Impact& impact = take.impacts[n];
        if (impact.confidence < setting.problem.limits.variety.confidence_floor ||
            n == shot.anchors.front().impact)
            continue;
        double record = record_of(count.position(impact.picture_s), shot, play.v);
        if (record < static_cast<double>(shot.record.in.n)) continue;
        for (const Slot& slot : grid.slots) {
            if (slot.beat < 0 || std::abs(record - slot.at) > 0.5) continue;
            std::int64_t end = slot.frame + std::max<std::int64_t>(1, grid.tail);
            if (slot.frame >= shot.record.in.n && end <= shot.record.out.n)
                shot.anchors.push_back(
                    {n, static_cast<std::size_t>(slot.beat), (record - slot.at) / grid.fps});
        }
    }
}

// All contacts that it holds, and how the shot runs between them.
void hold_rally(const Setting& setting, const Play& play, const Slot& slot, PlannedShot& shot) {
    const Clip& clip = setting.clip_of(play);
    const auto rally = on_beats(setting.grid, clip, play, slot);
    if (!rally) return;
    shot.anchors.clear();
    for (std::size_t n = 0; n < rally->count; ++n) {
        const OnBeats::Hold& hold = rally->holds[n];
        shot.anchors.push_back({clip.contact_impacts[static_cast<std::size_t>(play.contact) + n],
                                static_cast<std::size_t>(setting.grid.slots[hold.slot].beat),
                                hold.error / setting.grid.fps});
    }
    shot.stretches = stretches(setting.grid, *rally, shot.record);
    for (const Stretch& stretch : shot.stretches)
        shot.speed = std::min(shot.speed, Fraction(stretch.source.length().n, stretch.record.length().n));
}

std::vector<TermScore> named(const Setting& setting, const Values& values, double& score) {
    std::vector<TermScore> terms;
    score = 0;
    for (std::size_t t = 0; t < term::count; ++t) {
        terms.push_back({term_names[t], setting.weight[t], values[t]});
        score += terms.back().points();
    }
    return terms;
}

std::size_t slot_under(const Grid& grid, const PlannedShot& shot) {
    std::size_t found = 0;
    for (std::size_t s = 0; s < grid.slots.size(); ++s) {
        const Slot& slot = grid.slots[s];
        if (!shot.anchors.empty()) {
            if (slot.beat == static_cast<int>(shot.anchors.front().beat)) return s;
        } else if (slot.frame <= shot.record.in.n && (slot.plain || found == 0))
            found = s;
    }
    return found;
}

} // namespace

CutPlan to_plan(const Setting& setting, const Cut& cut) {
    CutPlan plan;
    plan.length = Frame{setting.grid.length};
    plan.song_start_s = setting.problem.song_start_s;
    std::map<std::size_t, int> ordinals;
    for (const Piece& piece : cut) {
        const Play& play = setting.stock.plays[piece.play];
        const Clip& clip = setting.clip_of(play);
        const Take& take = setting.take_of(clip);
        PlannedShot shot;
        shot.take = clip.take;
        shot.record = {Frame{piece.in}, Frame{piece.out}};
        shot.source_in = Frame{piece.source_in};
        shot.speed = play.speed;
        if (play.impact >= 0) {
            auto impact = static_cast<std::size_t>(play.impact);
            shot.id = take.impacts[impact].id;
            shot.anchors.push_back({impact, static_cast<std::size_t>(setting.grid.slots[piece.slot].beat),
                                    piece.error / setting.grid.fps});
            if (play.held > 1)
                hold_rally(setting, play, setting.grid.slots[piece.slot], shot);
            else
                add_welcome_hits(setting, clip, play, shot);
        } else
            shot.id = take.id + "@" + std::to_string(++ordinals[clip.take]);
        plan.shots.push_back(std::move(shot));
    }
    plan.terms = named(setting, cut_values(setting, cut), plan.score);
    return plan;
}

Cut from_plan(const Setting& setting, const CutPlan& plan) {
    Cut cut;
    for (const PlannedShot& shot : plan.shots) {
        Piece piece;
        piece.in = shot.record.in.n;
        piece.out = shot.record.out.n;
        piece.source_in = shot.source_in.n;
        piece.slot = slot_under(setting.grid, shot);
        int impact = shot.anchors.empty() ? -1 : static_cast<int>(shot.anchors.front().impact);
        const int held = shot.stretches.empty() ? 1 : static_cast<int>(shot.anchors.size());
        const bool slowed = held > 1 && is_slowed(setting.problem.limits.rally, shot.speed);
        for (std::size_t p = 0; p < setting.stock.plays.size(); ++p) {
            const Play& play = setting.stock.plays[p];
            if (setting.clip_of(play).take != shot.take || play.impact != impact || play.held != held ||
                play.slowed != slowed || (held == 1 && play.speed != shot.speed))
                continue;
            piece.play = p;
            if (held > 1) {
                const auto place = placement_at(setting.grid, setting.clip_of(play), play,
                                                setting.grid.slots[piece.slot], piece.in);
                if (place) piece.stand(*place);
            } else if (impact >= 0)
                piece.error = record_of(play.at, shot, play.v) - setting.grid.slots[piece.slot].at;
            cut.push_back(piece);
            break;
        }
    }
    return cut;
}

Scored score(const Problem& problem, const CutPlan& plan) {
    Setting setting = make_setting(problem);
    Scored scored;
    scored.terms = named(setting, cut_values(setting, from_plan(setting, plan)), scored.score);
    return scored;
}

bool anchors_hold_in_m2(const Problem& problem, const PlannedShot& shot) {
    Rate rate = problem.limits.delivery.rate;
    // At the joints of a rally source frames are shown that no rounding of speeds moves.
    if (shot.speed == Fraction(1) || !shot.stretches.empty()) return true;
    double v = m2_speed(shot.speed, rate).to_double();
    const Take& take = problem.log.takes[shot.take];
    const SourceCount count = count_source(problem.log.media[take.media], rate);
    for (const Anchor& anchor : shot.anchors) {
        double at = count.position(take.impacts[anchor.impact].picture_s);
        double beat = (problem.beats.beats[anchor.beat].seconds - problem.song_start_s) * rate.per_second();
        if (v <= 0 || std::abs(record_of(at, shot, v) - beat) > 0.5 + 1e-6) return false;
    }
    return true;
}

} // namespace downball::solve
