// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/resume.h"

#include <cmath>
#include <map>

namespace downball::solve {
namespace {

using Shot = LastCut::Shot;

std::multimap<std::string, std::size_t> plays_by_name(const Setting& setting) {
    std::multimap<std::string, std::size_t> plays;
    for (std::size_t p = 0; p < setting.stock.plays.size(); ++p) {
        const Play& play = setting.stock.plays[p];
        plays.emplace(name_of(play, setting.take_of(setting.clip_of(play))), p);
    }
    return plays;
}

std::optional<std::size_t> slot_at(const Grid& grid, const Shot& shot) {
    for (std::size_t s = 0; s < grid.slots.size(); ++s) {
        const Slot& slot = grid.slots[s];
        if (shot.action ? slot.beat >= 0 && std::abs(slot.at - shot.at_s * grid.fps) <= 0.5
                        : slot.plain && slot.frame == shot.record.in.n)
            return s;
    }
    return std::nullopt;
}

} // namespace

std::optional<Cut> resume(const Setting& setting) {
    const LastCut* last = setting.problem.last;
    if (!last || last->shots.empty()) return std::nullopt;
    const Grid& grid = setting.grid;
    const auto plays = plays_by_name(setting);
    Cut cut;
    for (const Shot& shot : last->shots) {
        const auto slot = slot_at(grid, shot);
        std::optional<Piece> piece;
        const auto [from, to] = plays.equal_range(name_of(shot));
        for (auto at = from; at != to && slot && !piece; ++at) {
            const Play& play = setting.stock.plays[at->second];
            if ((play.impact >= 0) != shot.action || !runs_as(setting.problem, play, shot)) continue;
            Piece here{at->second, *slot, shot.record.in.n, shot.record.out.n, shot.source_in.n};
            const Clip& clip = setting.clip_of(play);
            if (here.source_in < clip.first || here.source_in >= clip.last) continue;
            if (shot.action) {
                const auto place =
                    placement_at(grid, setting.clip_of(play), play, grid.slots[*slot], here.in);
                if (!place) continue;
                here.stand(*place);
            }
            piece = here;
        }
        if (!piece) return std::nullopt;
        cut.push_back(*piece);
    }
    for (std::size_t n = 0; n < cut.size(); ++n) {
        const bool last_one = n + 1 == cut.size();
        if (cut[n].out != (last_one ? grid.length : cut[n + 1].in) || (n == 0 && cut[n].in != 0) ||
            (!last_one && cut[n].slot >= cut[n + 1].slot))
            return std::nullopt;
    }
    return cut;
}

} // namespace downball::solve
