// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/reasons.h"

#include "solve/arcs.h"
#include "solve/movable.h"
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

std::optional<Reason> no_time(const Setting& setting) {
    const Grid& grid = setting.grid;
    if (grid.length < 1)
        return Reason{{fmt::format("a cut from {:.2f} s of a song that lasts {:.2f} s has no length",
                                   setting.problem.song_start_s, setting.problem.beats.duration_s)},
                      {},
                      {"start the song earlier, or ask for a length above 0 s"},
                      false};
    if (grid.beats == 0)
        return Reason{{fmt::format("{} beats found in the song, none of them in the {} that are cut",
                                   setting.problem.beats.beats.size(), seconds(grid.length, grid))},
                      {},
                      {"choose a song with a plain beat, or another start"},
                      false};
    return std::nullopt;
}

// Their names say it all.
std::optional<Reason> crossed(const Setting& setting) {
    const Grid& grid = setting.grid;
    if (grid.lead_min > grid.lead_max || grid.lead_min < 0 || grid.shortest > grid.longest) return Reason{};
    if (grid.shortest <= grid.length) return std::nullopt;
    return Reason{{fmt::format("the cut lasts {}", seconds(grid.length, grid))}, {}, {}, true, true};
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

std::optional<Reason> no_path(const Setting& setting) {
    const Grid& grid = setting.grid;
    bool actions = false, plains = false;
    for (const Play& play : setting.stock.plays)
        (play.impact >= 0 ? actions : plains) = true;
    if (grid.lead_min + grid.tail > grid.longest && !plains) return Reason{};
    if (beats_can_be_followed(setting, actions, plains)) return std::nullopt;
    const CutOn on = setting.problem.limits.pacing.cut_on;
    const char* name = on == CutOn::bar    ? "cut on bar"
                       : on == CutOn::beat ? "cut on beat"
                                           : "cut on half beat";
    Reason reason{{fmt::format("shots of these lengths cannot follow '{}' at {:.1f} BPM through {}", name,
                               setting.problem.beats.tempo_bpm, seconds(grid.length, grid))},
                  {said_cut_on(on)},
                  {},
                  true,
                  true};
    if (!plains)
        reason.facts.push_back(
            "the log holds actions alone, so the first shot is one: its contact must stand on a "
            "beat no later than the longest shot allows");
    if (!actions) reason.facts.push_back("no action can be shown, so that every cut falls on such a place");
    return reason;
}

std::optional<Reason> nothing_to_show(const Setting& setting) {
    const ShotLog& log = setting.problem.log;
    if (log.takes.empty()) return Reason{{"the log holds no takes"}, {}, {"log at least one clip"}};
    if (setting.stock.clips.empty()) {
        const auto sound = std::count_if(log.takes.begin(), log.takes.end(),
                                         [](const Take& take) { return take.kind == Kind::sound; });
        if (static_cast<std::size_t>(sound) == log.takes.size())
            return Reason{
                {"all takes in the log are sound, which is never shown"}, {}, {"log a clip with a picture"}};
        return Reason{{"no take in the log may be used"}};
    }
    if (!setting.stock.plays.empty()) return std::nullopt;
    bool contacts = false;
    for (const Take& take : log.takes)
        contacts = contacts || !take.impacts.empty();
    return Reason{{contacts
                       ? "no take can be shown: no cutaways, reactions or celebrations, and no contact sure "
                         "enough to stand on a beat"
                       : "no take can be shown: no cutaways, reactions or celebrations, and no action with a "
                         "contact"},
                  {},
                  {"mark contacts by hand in the log, or log cutaways"}};
}

// At most so many frames can be covered by what the log holds.
std::optional<Reason> too_little(const Setting& setting) {
    const Grid& grid = setting.grid;
    const Variety& variety = setting.problem.limits.variety;
    std::int64_t action = 0, cutaway = 0, reaction = 0;
    for (const Clip& clip : setting.stock.clips) {
        if (clip.plays.empty()) continue;
        double slowest = 1;
        std::set<int> contacts;
        for (std::size_t p : clip.plays) {
            slowest = std::min(slowest, setting.stock.plays[p].v_least);
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
    return Reason{{fmt::format("the log holds {} that can be shown, {} are wanted", seconds(all, grid),
                               seconds(grid.length, grid))},
                  {},
                  {"more takes, or more contacts marked in them"},
                  true,
                  true};
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

std::optional<Reason> quota_over_log(const std::string& shots, const Bounds& bounds, std::int64_t available) {
    if (bounds.at_most && bounds.at_least > *bounds.at_most) return Reason{};
    if (bounds.at_least <= available) return std::nullopt;
    return Reason{{fmt::format("{} {} asked, {} in the log", bounds.at_least,
                               bounds.at_least == 1 ? shots : plural(shots), available)},
                  {said_at_least(bounds.at_least, shots)},
                  {"mark or film more of them"}};
}

std::optional<Reason> quotas(const Setting& setting) {
    const Variety& variety = setting.problem.limits.variety;
    for (const auto& [player, bounds] : variety.players) {
        std::int64_t available = shots_in(setting, [&, name = player](const Clip& clip, const Play&) {
            const auto& players = setting.take_of(clip).players;
            return std::find(players.begin(), players.end(), name) != players.end();
        });
        if (auto reason = quota_over_log(shots_of_player(player), bounds, available)) return reason;
    }
    for (const auto& [skill, bounds] : variety.skills) {
        std::int64_t available =
            shots_in(setting, [which = static_cast<int>(skill)](const Clip&, const Play& play) {
                return std::find(play.skills.begin(), play.skills.end(), which) != play.skills.end();
            });
        if (auto reason = quota_over_log(shots_with_skill(skill), bounds, available)) return reason;
    }
    return std::nullopt;
}

std::optional<Reason> must_takes(const Setting& setting) {
    const auto because = [](const std::string& id, const std::string& fact,
                            std::vector<std::string> remedies) {
        return Reason{{said_must(id) + ", but " + fact}, {said_must(id)}, std::move(remedies)};
    };
    for (const Take& take : setting.problem.log.takes)
        if (take.use == Use::must && take.kind == Kind::sound)
            return because(take.id, "is sound, which is never shown", {});
    for (const Clip& clip : setting.stock.clips) {
        if (!clip.must) continue;
        const std::string& id = setting.take_of(clip).id;
        if (clip.plays.empty() && clip.action)
            return because(id, "has no contact sure enough to stand on a beat",
                           {fmt::format("mark a contact of take {} by hand", id)});
        if (clip.plays.empty()) return because(id, "nothing of it is left between its handles", {});
        std::int64_t room = 0, shortest = setting.grid.longest;
        for (std::size_t p : clip.plays) {
            room = std::max(room, static_cast<std::int64_t>(static_cast<double>(clip.last - clip.first) /
                                                            setting.stock.plays[p].v_least));
            shortest = std::min(shortest, setting.stock.plays[p].shortest);
        }
        if (room < shortest)
            return because(id,
                           fmt::format("lasts {}{}", seconds(room, setting.grid),
                                       setting.grid.handle > 0 ? " without its handles" : ""),
                           {});
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

std::optional<Reason> off_the_beat(const Setting& setting, const Lock& lock) {
    auto pin = read_pin(setting, lock);
    if (!pin || !pin->record_in || can_begin(setting, *pin, *pin->record_in)) return std::nullopt;
    const Grid& grid = setting.grid;
    return Reason{
        {said_lock(lock) + ": " +
         (pin->ordinal > 0
              ? "a shot without action begins on a beat, and none falls on that frame"
              : fmt::format(
                    "its contact has to meet a beat {} to {} frames after its first frame, and none lies "
                    "where it can",
                    grid.lead_min, grid.lead_max))},
        {said_lock(lock)}};
}

// Two locks that want one shot at two places, or two shots at one.
bool against(const Lock& a, const Lock& b) {
    const auto differ = [](const auto& x, const auto& y) { return x && y && *x != *y; };
    if (a.shot == b.shot) return differ(a.record_in, b.record_in) || differ(a.source_in, b.source_in);
    return a.record_in && b.record_in && *a.record_in == *b.record_in;
}

std::optional<Reason> locks(const Setting& setting) {
    const auto& locks = setting.problem.limits.locks;
    for (std::size_t a = 0; a < locks.size(); ++a) {
        const std::string lock = said_lock(locks[a]);
        if (!read_pin(setting, locks[a]))
            return Reason{{lock + ": no take that may be used has it"},
                          {lock},
                          {fmt::format("bring the take and contact of shot {} back", locks[a].shot)}};
        if (locks[a].record_in && (locks[a].record_in->n < 0 || locks[a].record_in->n >= setting.grid.length))
            return Reason{{fmt::format("{}: the cut has {} frames", lock, setting.grid.length)},
                          {lock},
                          {"lock it inside the cut, or take the lock's record_in away"}};
        if (auto reason = off_the_beat(setting, locks[a])) return reason;
        for (std::size_t b = 0; b < a; ++b)
            if (against(locks[a], locks[b])) return Reason{};
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

std::optional<Reason> plain_reason(const Setting& setting) {
    for (auto* reason : {no_time, crossed, nothing_to_show, locks, must_takes, quotas, too_little, no_path})
        if (auto found = reason(setting)) return found;
    return std::nullopt;
}

} // namespace downball::solve
