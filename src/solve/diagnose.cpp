// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/diagnose.h"

#include "solve/arcs.h"
#include "solve/rows.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <set>

namespace downball::solve {
namespace {

std::string seconds(std::int64_t frames, const Grid& grid) {
    return fmt::format("{:.2f} s", static_cast<double>(frames) / grid.fps);
}

std::optional<Conflict> no_time(const Setting& setting) {
    const Grid& grid = setting.grid;
    const Pacing& pacing = setting.problem.limits.pacing;
    if (grid.length < 1)
        return Conflict{{fmt::format("a cut from {:.2f} s of a song that lasts {:.2f} s has no length",
                                     setting.problem.song_start_s, setting.problem.beats.duration_s)},
                        {"start the song earlier, or ask for a length above 0 s"}};
    if (grid.lead_min > grid.lead_max || grid.lead_min < 0)
        return Conflict{{fmt::format("lead-in of at least {:.3f} s", pacing.lead_in_min_s),
                         fmt::format("lead-in of at most {:.3f} s", pacing.lead_in_max_s)},
                        {"a least lead-in from 0 s up, not above the greatest"}};
    if (grid.beats == 0)
        return Conflict{{fmt::format("{} beats found in the song, none of them in the {} that are cut",
                                     setting.problem.beats.beats.size(), seconds(grid.length, grid))},
                        {"choose a song with a plain beat, or another start"}};
    return std::nullopt;
}

std::optional<Conflict> crossed(const Setting& setting) {
    const Grid& grid = setting.grid;
    std::string shortest = fmt::format("shortest shot {:.3f} s ({} frames)",
                                       setting.problem.limits.pacing.shortest_s, grid.shortest);
    if (grid.shortest > grid.longest)
        return Conflict{{shortest, fmt::format("longest shot {:.3f} s ({} frames)",
                                               setting.problem.limits.pacing.longest_s, grid.longest)},
                        {}};
    if (grid.shortest > grid.length)
        return Conflict{{fmt::format("length {} of the cut", seconds(grid.length, grid)), shortest}, {}};
    return std::nullopt;
}

// Can any shots at all follow these beats, whatever the log holds?
bool beats_can_be_followed(const Setting& setting, bool actions, bool plains) {
    Arcs arcs = make_arcs(setting, {});
    std::size_t n = setting.grid.slots.size();
    std::vector<char> ready_action(n + 1), ready_plain(n + 1);
    auto go = [&](const std::vector<Arc>& list) {
        for (const Arc& arc : list)
            (arc.to_action ? ready_action : ready_plain)[arc.to] = 1;
    };
    for (std::size_t s = 0; s < n; ++s) {
        if (actions) go(arcs.first_action[s]);
        if (plains) go(arcs.first_plain[s]);
        if (actions && ready_action[s]) go(arcs.action[s]);
        if (plains && ready_plain[s]) go(arcs.plain[s]);
    }
    return ready_plain[n] != 0;
}

std::optional<Conflict> no_path(const Setting& setting) {
    const Grid& grid = setting.grid;
    const Pacing& pacing = setting.problem.limits.pacing;
    bool actions = false, plains = false;
    for (const Play& play : setting.stock.plays)
        (play.impact >= 0 ? actions : plains) = true;
    if (grid.lead_min + grid.tail > grid.longest && !plains)
        return Conflict{{fmt::format("lead-in of at least {:.3f} s and tail of {:.3f} s",
                                     pacing.lead_in_min_s, pacing.tail_s),
                         fmt::format("longest shot {:.3f} s", pacing.longest_s)},
                        {}};
    if (beats_can_be_followed(setting, actions, plains)) return std::nullopt;
    const char* on = pacing.cut_on == CutOn::bar    ? "cut on bar"
                     : pacing.cut_on == CutOn::beat ? "cut on beat"
                                                    : "cut on half beat";
    Conflict conflict;
    conflict.limits = {fmt::format("shortest shot {:.2f} s", pacing.shortest_s),
                       fmt::format("longest shot {:.2f} s", pacing.longest_s),
                       fmt::format("'{}' at {:.1f} BPM over {}", on, setting.problem.beats.tempo_bpm,
                                   seconds(grid.length, grid))};
    if (!plains)
        conflict.limits.push_back("the opening shot is an action, and its contact must stand on a beat "
                                  "no later than the longest shot allows");
    return conflict;
}

std::optional<Conflict> nothing_to_show(const Setting& setting) {
    const ShotLog& log = setting.problem.log;
    const Variety& variety = setting.problem.limits.variety;
    if (log.takes.empty()) return Conflict{{"the log holds no takes"}, {"log at least one clip"}};
    if (setting.stock.clips.empty())
        return Conflict{
            {fmt::format("{} takes in the log, all of them sound or never to be used", log.takes.size())},
            {"free at least one take for use"}};
    if (!setting.stock.plays.empty()) return std::nullopt;
    double surest = -1;
    for (const Take& take : log.takes)
        for (const Impact& impact : take.impacts)
            surest = std::max(surest, impact.confidence);
    Conflict conflict{
        {"no take can be shown: no cutaways, reactions or celebrations, and no action with a contact"},
        {"mark contacts by hand in the log, or log cutaways"}};
    if (surest >= 0)
        conflict.limits[0] += fmt::format(" of confidence {:.2f} or more", variety.confidence_floor);
    return conflict;
}

// At most so many frames can be covered by what the log holds.
std::optional<Conflict> too_little(const Setting& setting) {
    const Grid& grid = setting.grid;
    const Variety& variety = setting.problem.limits.variety;
    std::int64_t action = 0, cutaway = 0, reaction = 0;
    for (const Clip& clip : setting.stock.clips) {
        if (clip.plays.empty()) continue;
        double slowest = 1;
        std::set<int> contacts;
        for (std::size_t p : clip.plays) {
            slowest = std::min(slowest, setting.stock.plays[p].v);
            contacts.insert(setting.stock.plays[p].impact);
        }
        auto frames = static_cast<std::int64_t>(static_cast<double>(clip.last - clip.first) / slowest);
        if (clip.action)
            action += std::min(frames, static_cast<std::int64_t>(contacts.size()) * grid.longest);
        else
            (clip.cutaway ? cutaway : reaction) += frames;
    }
    auto share = [&](double most) {
        return static_cast<std::int64_t>(
            std::floor(std::clamp(most, 0.0, 1.0) * static_cast<double>(grid.length) + 1e-6));
    };
    std::int64_t cutaway_max = std::min(cutaway, share(variety.cutaway_share_max));
    std::int64_t reaction_max = std::min(reaction, share(variety.reaction_share_max));
    std::int64_t all = action + cutaway_max + reaction_max;
    if (all >= grid.length) return std::nullopt;
    Conflict conflict;
    conflict.limits.push_back(fmt::format("the log holds {} of usable shots, {} wanted", seconds(all, grid),
                                          seconds(grid.length, grid)));
    if (cutaway > cutaway_max)
        conflict.limits.push_back(
            fmt::format("cutaways at most {:.0f} % of the cut", variety.cutaway_share_max * 100));
    if (reaction > reaction_max)
        conflict.limits.push_back(
            fmt::format("reactions at most {:.0f} % of the cut", variety.reaction_share_max * 100));
    conflict.limits.push_back(fmt::format("longest shot {:.2f} s", setting.problem.limits.pacing.longest_s));
    conflict.remedies.push_back("more takes, or more contacts marked in them");
    return conflict;
}

// Shots that can show something: one a contact, one for each shortest shot of a take without.
std::int64_t shots_in(const Setting& setting, const auto& counts) {
    std::int64_t shots = 0;
    for (const Clip& clip : setting.stock.clips) {
        std::set<int> contacts;
        for (std::size_t p : clip.plays)
            if (counts(clip, setting.stock.plays[p])) {
                if (clip.action)
                    contacts.insert(setting.stock.plays[p].impact);
                else
                    shots += (clip.last - clip.first) / setting.stock.plays[p].shortest;
            }
        shots += static_cast<std::int64_t>(contacts.size());
    }
    return shots;
}

std::optional<Conflict> quota_over_log(const std::string& what, const Bounds& bounds,
                                       std::int64_t available) {
    if (bounds.at_most && bounds.at_least > *bounds.at_most)
        return Conflict{{fmt::format("at least {} {}", bounds.at_least, what),
                         fmt::format("at most {} {}", *bounds.at_most, what)},
                        {}};
    if (bounds.at_least <= available) return std::nullopt;
    return Conflict{{fmt::format("{} {} asked, {} in the log", bounds.at_least, what, available)},
                    {"mark or film more of them"}};
}

std::optional<Conflict> quotas(const Setting& setting) {
    const Variety& variety = setting.problem.limits.variety;
    for (const auto& [player, bounds] : variety.players) {
        std::int64_t available = shots_in(setting, [&, name = player](const Clip& clip, const Play&) {
            const auto& players = setting.take_of(clip).players;
            return std::find(players.begin(), players.end(), name) != players.end();
        });
        if (auto conflict = quota_over_log("shots of player " + player, bounds, available)) return conflict;
    }
    for (const auto& [skill, bounds] : variety.skills) {
        std::int64_t available =
            shots_in(setting, [which = static_cast<int>(skill)](const Clip&, const Play& play) {
                return std::find(play.skills.begin(), play.skills.end(), which) != play.skills.end();
            });
        std::string what = fmt::format("action shots that show '{}'", to_string(skill));
        if (auto conflict = quota_over_log(what, bounds, available)) return conflict;
    }
    return std::nullopt;
}

std::optional<Conflict> must_takes(const Setting& setting) {
    for (const Take& take : setting.problem.log.takes)
        if (take.use == Use::must && take.kind == Kind::sound)
            return Conflict{
                {fmt::format("take {} must be used, but is sound, which is never shown", take.id)},
                {fmt::format("free take {} from 'must'", take.id)}};
    for (const Clip& clip : setting.stock.clips) {
        if (!clip.must) continue;
        const std::string& id = setting.take_of(clip).id;
        if (clip.plays.empty())
            return Conflict{{fmt::format("take {} must be used, but {}", id,
                                         clip.action ? "has no contact sure enough to stand on a beat"
                                                     : "nothing of it is left between its handles")},
                            {fmt::format("mark a contact of take {} by hand, or free it from 'must'", id)}};
        std::int64_t room = 0, shortest = setting.grid.longest;
        for (std::size_t p : clip.plays) {
            room = std::max(room, static_cast<std::int64_t>(static_cast<double>(clip.last - clip.first) /
                                                            setting.stock.plays[p].v));
            shortest = std::min(shortest, setting.stock.plays[p].shortest);
        }
        if (room < shortest)
            return Conflict{{fmt::format("take {} must be used, but lasts {} without handles", id,
                                         seconds(room, setting.grid)),
                             fmt::format("shortest {} {}", clip.action ? "shot" : "shot without action",
                                         seconds(shortest, setting.grid))},
                            {}};
    }
    return std::nullopt;
}

bool can_begin(const Setting& setting, const Pin& pin, std::int64_t record_in) {
    for (std::size_t p : pin.plays)
        for (const Slot& slot : setting.grid.slots) {
            const Play& play = setting.stock.plays[p];
            if (play.impact < 0) {
                if (slot.plain && slot.frame == record_in) return true;
            } else if (slot.beat >= 0) {
                auto place = placement_at(setting.grid, setting.clip_of(play), play, slot, record_in);
                if (place && (!pin.source_in || *pin.source_in == place->source_in)) return true;
            }
        }
    return false;
}

std::optional<Conflict> off_the_beat(const Setting& setting, const Lock& lock) {
    auto pin = read_pin(setting, lock);
    if (!pin || !pin->record_in || can_begin(setting, *pin, *pin->record_in)) return std::nullopt;
    const Grid& grid = setting.grid;
    Conflict conflict;
    conflict.limits.push_back(
        fmt::format("shot {} is locked at record frame {}", lock.shot, *pin->record_in) +
        (lock.source_in ? fmt::format(" with source frame {}", lock.source_in->n) : ""));
    conflict.limits.push_back(
        pin->ordinal > 0
            ? "a shot without action begins on a beat, and none falls on that frame"
            : fmt::format(
                  "its contact has to meet a beat {} to {} frames after its first frame, and none lies "
                  "where it can",
                  grid.lead_min, grid.lead_max));
    return conflict;
}

std::optional<Conflict> locks(const Setting& setting) {
    const auto& locks = setting.problem.limits.locks;
    for (std::size_t a = 0; a < locks.size(); ++a) {
        if (!read_pin(setting, locks[a]))
            return Conflict{
                {fmt::format("shot {} is locked, but no take that may be used has it", locks[a].shot)},
                {fmt::format("take the lock on {} away, or bring its take and contact back", locks[a].shot)}};
        if (locks[a].record_in && (locks[a].record_in->n < 0 || locks[a].record_in->n >= setting.grid.length))
            return Conflict{
                {fmt::format("shot {} is locked at record frame {}", locks[a].shot, locks[a].record_in->n),
                 fmt::format("the cut has {} frames", setting.grid.length)},
                {"lock it inside the cut, or take the lock's record_in away"}};
        if (auto conflict = off_the_beat(setting, locks[a])) return conflict;
        for (std::size_t b = 0; b < a; ++b) {
            bool same = locks[a].shot == locks[b].shot;
            bool at_one_place =
                locks[a].record_in && locks[b].record_in && *locks[a].record_in == *locks[b].record_in;
            bool differ =
                (locks[a].record_in && locks[b].record_in && *locks[a].record_in != *locks[b].record_in) ||
                (locks[a].source_in && locks[b].source_in && *locks[a].source_in != *locks[b].source_in);
            if (same ? differ : at_one_place)
                return Conflict{
                    {fmt::format("lock on shot {}", locks[b].shot),
                     fmt::format("lock on shot {}{}", locks[a].shot,
                                 same ? ", elsewhere"
                                      : fmt::format(" at the same record frame {}", locks[a].record_in->n))},
                    {}};
        }
    }
    return std::nullopt;
}

} // namespace

std::vector<std::int64_t> frames_for_lock(const Problem& problem, const Lock& lock, std::size_t most) {
    Setting setting = make_setting(problem);
    std::vector<std::int64_t> frames;
    auto pin = read_pin(setting, lock);
    if (!pin || !pin->record_in) return frames;
    for (std::int64_t away = 1; away < setting.grid.length && frames.size() < most; ++away)
        for (std::int64_t at : {*pin->record_in - away, *pin->record_in + away})
            if (at >= 0 && at < setting.grid.length && frames.size() < most && can_begin(setting, *pin, at))
                frames.push_back(at);
    return frames;
}

std::optional<PlainConflict> plain_conflict(const Setting& setting) {
    if (auto conflict = no_time(setting)) return PlainConflict{*conflict};
    for (auto* reason : {crossed, nothing_to_show, locks, must_takes, quotas, too_little, no_path})
        if (auto conflict = reason(setting)) return PlainConflict{*conflict, true};
    return std::nullopt;
}

} // namespace downball::solve
