// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/solve/left_out.h"

#include "solve/cut.h"

#include "downball/base/text.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <functional>
#include <set>

namespace downball::solve {
namespace {

class LeftOuts {
  public:
    LeftOuts(const Problem& problem, const CutPlan& plan)
        : problem_(problem), setting_(make_setting(problem)), cut_(from_plan(setting_, plan)) {}

    std::string why(std::size_t index) const {
        const Take& take = problem_.log.takes[index];
        if (take.use == Use::never) return "the log says that it is never to be used";
        if (take.kind == Kind::sound) return "it is there for its sound only";
        const auto clip = std::ranges::find(setting_.stock.clips, index, &Clip::take);
        if (clip == setting_.stock.clips.end()) return "it cannot be shown";
        if (auto alone = why_in_any_cut(*clip)) return *alone;
        return why_in_this_cut(*clip);
    }

  private:
    std::string seconds(std::int64_t frames) const {
        return fmt::format("{:.2f} s", static_cast<double>(frames) / setting_.grid.fps);
    }
    const Play& play_of(const Piece& piece) const { return setting_.stock.plays[piece.play]; }

    std::optional<std::string> why_in_any_cut(const Clip& clip) const {
        if (clip.action)
            if (auto reason = no_contact(clip)) return reason;
        if (auto reason = too_short(clip)) return reason;
        bool any = false;
        for (const std::size_t p : clip.plays)
            if (!any) each_piece(clip, p, [&](const Piece&) { return any = true; });
        if (any) return std::nullopt;
        if (!clip.action) return "no place to cut on leaves room for it";
        const Grid& grid = setting_.grid;
        return fmt::format(
            "none of its contacts can be on a beat inside the take{}: a shot leads in {} to {}, "
            "runs on for {} at least and lasts {} or more",
            grid.handle > 0 ? " without its handles" : "", seconds(grid.lead_min), seconds(grid.lead_max),
            seconds(std::max<std::int64_t>(1, grid.tail)), seconds(grid.shortest));
    }

    std::optional<std::string> no_contact(const Clip& clip) const {
        const auto& impacts = setting_.take_of(clip).impacts;
        if (impacts.empty()) return "it is an action without a contact; mark one by hand";
        const auto best = std::ranges::max_element(impacts, {}, &Impact::confidence);
        if (clip.contacts.empty())
            return fmt::format("none of its contacts is sure enough: the best has confidence {:.2f}, "
                               "variety.confidence_floor is {:.2f}",
                               best->confidence, problem_.limits.variety.confidence_floor);
        const auto banned = [&](std::size_t impact) {
            return problem_.limits.bans.contains(impacts[impact].id);
        };
        if (std::ranges::all_of(clip.contact_impacts, banned))
            return "each contact it could hang on is banned";
        return std::nullopt;
    }

    // A clip too short for its plays has none, if it is no action.
    std::optional<std::string> too_short(const Clip& clip) const {
        const Grid& grid = setting_.grid;
        const std::int64_t room = std::max<std::int64_t>(0, clip.last - clip.first);
        std::int64_t shortest = clip.action ? grid.shortest : grid.shortest_cutaway;
        bool fits = clip.plays.empty() && room >= shortest;
        for (std::size_t p : clip.plays) {
            const Play& play = setting_.stock.plays[p];
            fits = fits || static_cast<double>(play.shortest) * play.v_least <= static_cast<double>(room);
            if (play.speed == Fraction(1)) shortest = play.shortest;
        }
        if (fits) return std::nullopt;
        return fmt::format("it is too short: {}{}, and such a shot lasts {} at least", seconds(room),
                           grid.handle > 0 ? " without its handles" : "", seconds(shortest));
    }

    // The shortest shot at each place of a play that keeps the limits of one shot; until it is told to stop.
    void each_piece(const Clip& clip, std::size_t p, const std::function<bool(const Piece&)>& stop) const {
        const Grid& grid = setting_.grid;
        const Play& play = setting_.stock.plays[p];
        for (std::size_t s = 0; s < grid.slots.size(); ++s) {
            const Slot& slot = grid.slots[s];
            std::vector<Placement> places;
            if (play.impact < 0)
                places.push_back({slot.frame, clip.first});
            else if (slot.beat >= 0)
                places = placements(grid, clip, play, slot);
            for (const Placement& place : places) {
                Piece piece;
                piece.play = p;
                piece.slot = s;
                piece.stand(place);
                if (auto found = shortest_of(piece); found && stop(*found)) return;
            }
        }
    }

    std::optional<Piece> shortest_of(Piece piece) const {
        const Grid& grid = setting_.grid;
        const std::int64_t last = std::min(piece.in + grid.longest, grid.length);
        for (piece.out = piece.in + play_of(piece).shortest; piece.out <= last; ++piece.out)
            if (fits(setting_, piece)) return piece;
        return std::nullopt;
    }

    std::string why_in_this_cut(const Clip& clip) const {
        std::vector<std::string> reasons;
        const auto is_told = [&](const std::string& reason) {
            return std::ranges::find(reasons, reason) != reasons.end();
        };
        for (const std::size_t p : clip.plays) {
            const auto wherever = in_the_way(clip, setting_.stock.plays[p]);
            if (wherever && is_told(*wherever)) continue; // its places, if it has any, would say the same
            bool free = false;
            each_piece(clip, p, [&](const Piece& piece) {
                const auto reason = wherever ? wherever : in_the_way(clip, piece);
                if (reason && !is_told(*reason)) reasons.push_back(*reason);
                free = !reason;
                return free || wherever;
            });
            if (free) return "it could have been used: other shots scored higher";
        }
        return join(reasons, "; or ");
    }

    // Wherever it hangs.
    std::optional<std::string> in_the_way(const Clip& clip, const Play& play) const {
        if (auto players = players_full(clip)) return players;
        if (auto skills = skills_full(play)) return skills;
        return shared_with_others(play);
    }
    std::optional<std::string> in_the_way(const Clip& clip, const Piece& piece) const {
        if (auto share = share_full(clip, piece)) return share;
        return shown_elsewhere(clip, piece);
    }

    std::int64_t count(const auto& is) const {
        return std::ranges::count_if(cut_, [&](const Piece& piece) { return is(play_of(piece)); });
    }

    static bool is_full(const Bounds& bounds, std::int64_t has) {
        return bounds.at_most && has >= *bounds.at_most;
    }

    std::optional<std::string> players_full(const Clip& clip) const {
        for (const auto& [name, bounds] : problem_.limits.variety.players) {
            const auto seen = [&, &player = name](const Clip& its) {
                const auto& players = setting_.take_of(its).players;
                return std::ranges::find(players, player) != players.end();
            };
            if (seen(clip) &&
                is_full(bounds, count([&](const Play& p) { return seen(setting_.clip_of(p)); })))
                return fmt::format("the cut shows player {} as often as variety.players allows: {}", name,
                                   *bounds.at_most);
        }
        return std::nullopt;
    }

    std::optional<std::string> skills_full(const Play& play) const {
        for (const auto& [skill, bounds] : problem_.limits.variety.skills) {
            const auto shown = [which = static_cast<int>(skill)](const Play& its) {
                return std::ranges::find(its.skills, which) != its.skills.end();
            };
            if (shown(play) && is_full(bounds, count(shown)))
                return fmt::format("the cut shows '{}' as often as variety.skills allows: {}",
                                   to_string(skill), *bounds.at_most);
        }
        return std::nullopt;
    }

    std::optional<std::string> share_full(const Clip& clip, const Piece& piece) const {
        const Variety& variety = problem_.limits.variety;
        const auto full = [&](const char* what, double most, bool its,
                              const std::function<bool(const Play&)>& is) -> std::optional<std::string> {
            if (!its || most >= 1) return std::nullopt;
            std::int64_t used = 0;
            for (const Piece& other : cut_)
                if (is(play_of(other))) used += other.out - other.in;
            const auto allowed = static_cast<std::int64_t>(
                std::floor(most * static_cast<double>(setting_.grid.length) + 1e-6));
            if (used + piece.out - piece.in <= allowed) return std::nullopt;
            return fmt::format("{} may fill {} of the cut, and {} are filled", what, seconds(allowed),
                               seconds(used));
        };
        if (auto slow = full("slow motion", variety.slow_motion_share_max, play_of(piece).slow,
                             [](const Play& play) { return play.slow; }))
            return slow;
        if (auto away = full("cutaways", variety.cutaway_share_max, clip.cutaway,
                             [&](const Play& play) { return setting_.clip_of(play).cutaway; }))
            return away;
        return full("reactions", variety.reaction_share_max, clip.reaction,
                    [&](const Play& play) { return setting_.clip_of(play).reaction; });
    }

    std::optional<std::string> shared_with_others(const Play& play) const {
        for (const OtherCut& other : problem_.limits.others) {
            const auto shared = [&](const Play& its) {
                const auto& names = its.impact >= 0 ? other.contacts : other.takes;
                return names.contains(name_of(its, setting_.take_of(setting_.clip_of(its))));
            };
            if (!shared(play)) continue;
            const double most = other.shared_share_max * static_cast<double>(cut_.size());
            if (static_cast<double>(count(shared) + 1) > most + 1e-6)
                return fmt::format("{} has it, and no more shots may be in both", other.name);
        }
        return std::nullopt;
    }

    std::optional<std::string> shown_elsewhere(const Clip& clip, const Piece& piece) const {
        for (const Piece& other : cut_) {
            const Clip& its = setting_.clip_of(play_of(other));
            const std::string& id = setting_.take_of(its).id;
            // Whichever comes first: else it is but their order that stands in the way.
            if (clip.action && its.action && clip.moment >= 0 && clip.moment == its.moment &&
                contradict(setting_, piece, other) && contradict(setting_, other, piece))
                return problem_.limits.variety.replays
                           ? fmt::format("take {} shows the same contact at the same camera, angle and speed",
                                         id)
                           : fmt::format("take {} shows the same contact, and replays are off", id);
        }
        return pictures_taken(clip, piece);
    }

    // Of the same file; a shot that is no action may move to where there is room.
    std::optional<std::string> pictures_taken(const Clip& clip, const Piece& piece) const {
        if (!clip.action && free_source(setting_, piece.play, piece.out - piece.in, cut_))
            return std::nullopt;
        for (const Piece& other : cut_) {
            const Clip& its = setting_.clip_of(play_of(other));
            if (clip.action ? overlap(setting_, piece, other) : its.media == clip.media)
                return fmt::format("take {} shows the same pictures of its file", setting_.take_of(its).id);
        }
        return std::nullopt;
    }

    const Problem& problem_;
    Setting setting_;
    Cut cut_;
};

} // namespace

std::vector<LeftOut> left_out(const Problem& problem, const CutPlan& plan) {
    std::set<std::size_t> used;
    for (const PlannedShot& shot : plan.shots)
        used.insert(shot.take);
    std::vector<LeftOut> all;
    if (used.size() == problem.log.takes.size()) return all;
    const LeftOuts reasons(problem, plan);
    for (std::size_t t = 0; t < problem.log.takes.size(); ++t)
        if (!used.contains(t)) all.push_back({t, reasons.why(t)});
    return all;
}

} // namespace downball::solve
