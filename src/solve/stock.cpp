// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/stock.h"

#include "solve/rally.h"

#include "downball/model/m2.h"
#include "downball/model/source_count.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

namespace downball::solve {
namespace {

constexpr double tie = 1e-6; // frames; as in time/rate.h

bool plays_slower(const Take& take, const MediaInfo& media) {
    double shown = media.rate ? media.rate->per_second() : media.average_fps;
    return take.capture_fps && shown > 0 && *take.capture_fps > shown * 1.05;
}

// Real time, and every captured frame once for sources shot at 1.9 times the list rate or more.
std::vector<Fraction> speeds_of(const Problem& problem, const MediaInfo& media) {
    std::vector<Fraction> speeds{Fraction(1)};
    const auto once = every_picture_once(media, problem.limits.delivery.rate);
    if (once && once->to_double() >= problem.limits.variety.slowest - 0.0005) speeds.push_back(*once);
    return speeds;
}

std::vector<int> skills_shown(const Take& take, const Impact& impact) {
    std::vector<int> skills;
    if (impact.skill)
        skills.push_back(static_cast<int>(*impact.skill));
    else
        for (Skill skill : take.skills)
            skills.push_back(static_cast<int>(skill));
    if (impact.with_block) skills.push_back(static_cast<int>(Skill::block));
    std::sort(skills.begin(), skills.end());
    skills.erase(std::unique(skills.begin(), skills.end()), skills.end());
    return skills;
}

bool usable_kind(Kind kind) {
    return kind != Kind::sound;
}

void add_action_plays(const Problem& problem, const Grid& grid, const Take& take, std::size_t clip_index,
                      Stock& stock) {
    Clip& clip = stock.clips[clip_index];
    const MediaInfo& media = problem.log.media[take.media];
    const SourceCount count = count_source(media, grid.rate);
    std::map<int, int> seen;
    for (std::size_t n = 0; n < take.impacts.size(); ++n) {
        const Impact& impact = take.impacts[n];
        int skill = impact.skill ? static_cast<int>(*impact.skill) : -1;
        int key = impact.skill ? skill * 64 + seen[skill]++ : -1;
        if (impact.confidence < problem.limits.variety.confidence_floor) continue;
        double at = count.position(impact.picture_s);
        int contact = static_cast<int>(clip.contacts.size());
        clip.contacts.push_back(at);
        clip.contact_keys.push_back(key);
        clip.contact_skills.push_back(skill);
        clip.contact_impacts.push_back(n);
        if (at < static_cast<double>(clip.first) || at >= static_cast<double>(clip.last)) continue;
        if (problem.limits.bans.contains(impact.id)) continue;
        for (Fraction speed : speeds_of(problem, media)) {
            Play play;
            play.clip = clip_index;
            play.impact = static_cast<int>(n);
            play.contact = contact;
            play.at = play.last_at = at;
            play.speed = speed;
            play.v = play.v_least = speed.to_double();
            play.m2 = m2_speed(speed, grid.rate).to_double();
            play.lead_max = grid.lead_max_at(speed);
            play.slow = speed < Fraction(1) || plays_slower(take, media);
            play.shortest = play.slow ? grid.shortest_slow : grid.shortest;
            play.tail_free = take.size == Size::wide;
            play.strength = std::clamp(impact.strength, 0.0, 1.0);
            play.confidence = std::clamp(impact.confidence, 0.0, 1.0);
            play.room_before = static_cast<std::int64_t>(
                std::floor((at - static_cast<double>(clip.first)) / play.v + 1 + tie));
            play.room_after = static_cast<std::int64_t>(
                std::floor((static_cast<double>(clip.last) - at) / play.v + 1 + tie));
            play.skills = skills_shown(take, impact);
            clip.plays.push_back(stock.plays.size());
            stock.plays.push_back(std::move(play));
        }
    }
    add_rally_plays(problem, grid, clip_index, stock);
}

void add_plain_play(const Problem& problem, const Grid& grid, const Take& take, std::size_t clip_index,
                    Stock& stock) {
    Clip& clip = stock.clips[clip_index];
    Play play;
    play.clip = clip_index;
    play.slow = plays_slower(take, problem.log.media[take.media]);
    play.shortest = play.slow ? std::max(grid.shortest_cutaway, grid.shortest_slow) : grid.shortest_cutaway;
    play.confidence = problem.limits.variety.confidence_floor; // no contact counts as one at the floor
    play.strength = 0.25;                                      // a bare cut accents a beat, but weakly
    play.room_before = 0;
    play.room_after = clip.last - clip.first;
    clip.plays.push_back(stock.plays.size());
    stock.plays.push_back(std::move(play));
}

bool ends_a_rally(Skill skill) {
    return skill == Skill::attack || skill == Skill::block || skill == Skill::dig;
}

// The contacts of a moment can be told apart when every usable one of all its takes has its number, or else its skill.
void tell_moments(const Problem& problem, Stock& stock) {
    std::vector<bool> told(stock.moments.size(), true), numbered(stock.moments.size(), true);
    for (const Clip& clip : stock.clips)
        for (std::size_t n = 0; n < clip.contacts.size() && clip.moment >= 0; ++n) {
            const auto moment = static_cast<std::size_t>(clip.moment);
            if (clip.contact_keys[n] < 0) told[moment] = false;
            if (!problem.log.takes[clip.take].impacts[clip.contact_impacts[n]].event)
                numbered[moment] = false;
        }
    for (Clip& clip : stock.clips) {
        if (clip.moment < 0) continue;
        clip.numbered = numbered[static_cast<std::size_t>(clip.moment)];
        clip.told = clip.numbered || told[static_cast<std::size_t>(clip.moment)];
        for (std::size_t n = 0; n < clip.contacts.size() && clip.numbered; ++n)
            clip.contact_keys[n] = *problem.log.takes[clip.take].impacts[clip.contact_impacts[n]].event;
    }
}

// The contact's place in its rally: its number, or its place in the take that tells most of it, the first such in
// the log.
void place_in_play(Stock& stock) {
    std::vector<const Clip*> teller(stock.moments.size(), nullptr);
    for (Clip& clip : stock.clips) {
        if (clip.moment >= 0) clip.day = stock.days[static_cast<std::size_t>(clip.moment)];
        if (!clip.told || !clip.action) continue;
        const Clip*& best = teller[static_cast<std::size_t>(clip.moment)];
        if (!best || clip.contacts.size() > best->contacts.size()) best = &clip;
    }
    for (Play& play : stock.plays) {
        const Clip& clip = stock.clips[play.clip];
        if (play.impact < 0) continue;
        int key = clip.contact_keys[static_cast<std::size_t>(play.contact)];
        int last_skill = clip.contact_skills[static_cast<std::size_t>(play.contact + play.held - 1)];
        play.early = last_skill >= 0 && !ends_a_rally(static_cast<Skill>(last_skill));
        if (!clip.told) continue;
        if (clip.numbered) {
            play.place = key;
            continue;
        }
        const auto& keys = teller[static_cast<std::size_t>(clip.moment)]->contact_keys;
        auto at = std::find(keys.begin(), keys.end(), key);
        if (at != keys.end()) play.place = static_cast<int>(at - keys.begin());
    }
}

void collect_cast(const Problem& problem, Stock& stock) {
    std::set<std::string> names;
    std::set<int> skills;
    for (const Clip& clip : stock.clips) {
        const Take& take = problem.log.takes[clip.take];
        if (!clip.plays.empty()) names.insert(take.players.begin(), take.players.end());
    }
    for (const Play& play : stock.plays)
        skills.insert(play.skills.begin(), play.skills.end());
    stock.player_names.assign(names.begin(), names.end());
    stock.skill_list.assign(skills.begin(), skills.end());
    for (const Clip& clip : stock.clips) {
        std::vector<int> indices;
        for (const std::string& player : problem.log.takes[clip.take].players) {
            auto at = std::lower_bound(stock.player_names.begin(), stock.player_names.end(), player);
            if (at != stock.player_names.end() && *at == player)
                indices.push_back(static_cast<int>(at - stock.player_names.begin()));
        }
        std::sort(indices.begin(), indices.end());
        indices.erase(std::unique(indices.begin(), indices.end()), indices.end());
        stock.clip_players.push_back(std::move(indices));
    }
    stock.players = stock.player_names.size();
}

// What of the last cut each play would keep.
void hold_last(const Problem& problem, const Grid& grid, Stock& stock) {
    if (!problem.last) return;
    std::multimap<std::string, const LastCut::Shot*>
        by_name; // actions by their id, other shots by their take
    for (const LastCut::Shot& shot : problem.last->shots)
        by_name.emplace(name_of(shot), &shot);
    for (Play& play : stock.plays) {
        const Take& take = problem.log.takes[stock.clips[play.clip].take];
        const bool action = play.impact >= 0;
        const auto [from, to] = by_name.equal_range(name_of(play, take));
        for (auto at = from; at != to; ++at) {
            const LastCut::Shot& shot = *at->second;
            if (shot.action != action) continue;
            play.kept = true;
            if (runs_as(problem, play, shot)) play.hung.push_back(shot.at_s * grid.fps);
        }
    }
}

} // namespace

std::optional<Fraction> every_picture_once(const MediaInfo& media, Rate list) {
    if (!media.rate) return std::nullopt;
    const Fraction once = list.value() / media.rate->value();
    return once * Fraction(19) <= Fraction(10) ? std::optional(once) : std::nullopt;
}

std::int64_t source_length(std::int64_t record_length, Fraction speed) {
    return (record_length * speed.num() + speed.den() - 1) / speed.den(); // both positive
}

bool runs_as(const Problem& problem, const Play& play, const LastCut::Shot& shot) {
    if (static_cast<std::size_t>(play.held) != shot.held) return false;
    const Rate rate = problem.limits.delivery.rate;
    if (shot.held > 1) return play.slowed == is_slowed(problem.limits.rally, shot.speed);
    return m2_tenths(shot.speed, rate) == m2_tenths(play.speed, rate);
}

bool runs_alike(const LastCut::Shot& a, const LastCut::Shot& b, Rate rate) {
    return a.held == b.held && (a.held > 1 || m2_tenths(a.speed, rate) == m2_tenths(b.speed, rate));
}

Stock make_stock(const Problem& problem, const Grid& grid) {
    Stock stock;
    std::map<std::string, int> moments;
    for (std::size_t t = 0; t < problem.log.takes.size(); ++t) {
        const Take& take = problem.log.takes[t];
        if (take.use == Use::never || !usable_kind(take.kind)) continue;
        Clip clip;
        clip.take = t;
        clip.media = take.media;
        clip.action = take.kind == Kind::action;
        clip.cutaway = take.kind == Kind::cutaway || take.kind == Kind::establishing;
        clip.reaction = take.kind == Kind::reaction || take.kind == Kind::celebration;
        double out_s = take.out_s;
        const MediaInfo& media = problem.log.media[take.media];
        if (media.duration_s > 0) out_s = std::min(out_s, media.duration_s);
        const SourceCount count = count_source(media, grid.rate);
        clip.first = count.from(take.in_s).n + grid.handle;
        clip.last = count.at(out_s).n - grid.handle;
        clip.must = take.use == Use::must;
        clip.day = take.order;
        if (!take.moment.empty()) {
            auto [at, added] = moments.try_emplace(take.moment, static_cast<int>(stock.moments.size()));
            if (added) {
                stock.moments.push_back(take.moment);
                stock.faces.push_back(false);
                stock.days.push_back(take.order);
            }
            clip.moment = at->second;
            std::int64_t& day = stock.days[static_cast<std::size_t>(clip.moment)];
            day = std::min<std::int64_t>(day, take.order);
            if (clip.reaction && clip.last - clip.first >= grid.shortest_cutaway)
                stock.faces[static_cast<std::size_t>(clip.moment)] = true;
        }
        stock.clips.push_back(std::move(clip));
        std::size_t index = stock.clips.size() - 1;
        if (take.kind == Kind::action)
            add_action_plays(problem, grid, take, index, stock);
        else if (stock.clips[index].last > stock.clips[index].first)
            add_plain_play(problem, grid, take, index, stock);
    }
    tell_moments(problem, stock);
    place_in_play(stock);
    for (Play& play : stock.plays) {
        play.tail_safe = play.impact < 0 || play.tail_free ? play.room_after : 0;
        while (play.tail_safe < play.room_after &&
               least_after(grid, stock.clips[play.clip], play, play.tail_safe + 1) == play.tail_safe + 1)
            ++play.tail_safe;
    }
    collect_cast(problem, stock);
    hold_last(problem, grid, stock);
    return stock;
}

namespace {

std::optional<Placement> rally_at(const Grid& grid, const Clip& clip, const Play& play, const Slot& slot,
                                  std::int64_t record_in) {
    if (record_in == slot.frame) return std::nullopt;
    const auto rally = on_beats(grid, clip, play, slot);
    if (!rally) return std::nullopt;
    Placement place{record_in, rally->first().source - (slot.frame - record_in)};
    if (place.source_in < clip.first) return std::nullopt;
    double squares = 0;
    for (std::size_t n = 0; n < rally->count; ++n)
        squares += rally->holds[n].error * rally->holds[n].error;
    place.error = std::sqrt(squares / static_cast<double>(rally->count));
    place.span = grid.slots[rally->last().slot].frame - slot.frame;
    place.skew = rally->last().source - rally->first().source - place.span;
    return place;
}

} // namespace

std::optional<Placement> placement_at(const Grid& grid, const Clip& clip, const Play& play, const Slot& slot,
                                      std::int64_t record_in) {
    std::int64_t lead = slot.frame - record_in;
    if (record_in < 0 || lead < grid.lead_min || (lead > play.lead_max && record_in > 0)) return std::nullopt;
    if (play.held > 1) return rally_at(grid, clip, play, slot, record_in);
    Placement place;
    place.record_in = record_in;
    // A tie leaves the contact half a frame early: the later source frame is taken.
    double wished = play.at - (slot.at - static_cast<double>(record_in)) * play.v;
    place.source_in = static_cast<std::int64_t>(std::floor(wished + 0.5 + tie));
    place.error =
        (play.at - static_cast<double>(place.source_in)) / play.v + static_cast<double>(record_in) - slot.at;
    if (place.source_in < clip.first || std::abs(place.error) > 0.5 + 2 * tie) return std::nullopt;
    return place;
}

std::vector<Placement> placements(const Grid& grid, const Clip& clip, const Play& play, const Slot& slot) {
    std::vector<Placement> found;
    for (std::int64_t lead = grid.lead_min; lead <= play.lead_max; ++lead)
        if (auto place = placement_at(grid, clip, play, slot, slot.frame - lead)) found.push_back(*place);
    if (slot.frame > play.lead_max && slot.frame <= grid.longest)
        if (auto place = placement_at(grid, clip, play, slot, 0)) found.push_back(*place);
    return found;
}

std::int64_t least_after(const Grid& grid, const Clip& clip, const Play& play, std::int64_t need) {
    if (play.impact < 0 || play.tail_free || need <= play.tail_safe) return need;
    auto wanted = static_cast<double>(need);
    for (double at : clip.contacts) {
        double after = (at - play.last_at) / play.v;
        if (after < 0 || wanted > after + grid.tail_max + 1) continue;
        // Shown from the frame before it on: sources are rounded up by less than one frame.
        return std::max(need, static_cast<std::int64_t>(std::floor(after - 1 - 1 / play.v)));
    }
    return play.room_after + 1;
}

bool holds_in_m2(const Play& play, const Slot& slot, const Placement& place) {
    if (play.held > 1) return true;
    if (play.m2 <= 0) return false;
    double error = (play.at - static_cast<double>(place.source_in)) / play.m2 +
                   static_cast<double>(place.record_in) - slot.at;
    return std::abs(error) <= 0.5 + tie;
}

} // namespace downball::solve
