// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "coverage/gaps.h"

#include <algorithm>
#include <fmt/format.h>
#include <numeric>

namespace downball::coverage {
namespace {

class Gaps {
  public:
    Gaps(const Footage& footage, const Coverage& coverage)
        : footage_(footage), coverage_(coverage), weights_(footage.limits.weights) {}

    std::vector<Gap> run() {
        asked(grid("players in skills"));
        players_and_skills(grid("players in skills"));
        faces(grid("players' faces"));
        open_and_close();
        by_two_tags(grid("sizes from angles"), "from angle");
        by_two_tags(grid("skills by size"), "of skill");
        std::ranges::stable_sort(found_, [](const Gap& a, const Gap& b) {
            return a.asked != b.asked ? a.asked : a.points > b.points + 1e-9;
        });
        return std::move(found_);
    }

  private:
    const Grid& grid(const std::string& name) const {
        return *std::ranges::find(coverage_.grids, name, &Grid::name);
    }

    static int in_row(const Grid& grid, std::size_t row) {
        int takes = 0;
        for (std::size_t column = 0; column < grid.columns.size(); ++column)
            takes += grid.at(row, column).takes;
        return takes;
    }
    static int in_column(const Grid& grid, std::size_t column) {
        int takes = 0;
        for (std::size_t row = 0; row < grid.rows.size(); ++row)
            takes += grid.at(row, column).takes;
        return takes;
    }

    // One more of a kind of which there are so many: a share of the costs that sameness has in a cut.
    double variety(double cost, int there) const { return weights_.variety * cost / (1 + there); }

    // What the limits ask for more of than there is, whatever the rows and columns.
    void asked(const Grid& grid) {
        const auto& variety_limits = footage_.limits.variety;
        const auto lack = [&](const std::string& of, const Bounds& bounds, int there) {
            if (there >= bounds.at_least) return;
            found_.push_back(
                {of,
                 fmt::format("{} shot{} asked, {} in the log", bounds.at_least,
                             bounds.at_least == 1 ? "" : "s", there == 0 ? "none" : fmt::format("{}", there)),
                 weights_.coverage, true});
        };
        for (const auto& [player, bounds] : variety_limits.players)
            lack("shots of " + player, bounds, of_player(player));
        for (const auto& [skill, bounds] : variety_limits.skills) {
            const auto column = std::ranges::find(grid.columns, to_string(skill));
            lack(fmt::format("shots of skill {}", to_string(skill)), bounds,
                 column == grid.columns.end() ? 0 : of_skill(skill));
        }
    }
    // In shots, as the limits count: each contact can be one, and of what is no action each stretch long enough.
    int of_player(const std::string& player) const {
        int shots = 0;
        for (const Take& take : footage_.log.takes) {
            if (take.use == Use::never || take.kind == Kind::sound ||
                std::ranges::count(take.players, player) == 0)
                continue;
            const auto sure = std::ranges::count_if(take.impacts, [&](const Impact& impact) {
                return impact.confidence >= footage_.limits.variety.confidence_floor;
            });
            shots += take.kind == Kind::action ? static_cast<int>(sure) : stretches(take);
        }
        return shots;
    }
    int stretches(const Take& take) const {
        const Pacing& pacing = footage_.limits.pacing;
        constexpr double most = 1000; // of one take, however short the shots
        const double shortest_s = std::max({pacing.shortest_s, pacing.shortest_cutaway_s, 0.01});
        return static_cast<int>(std::clamp((take.out_s - take.in_s) / shortest_s, 1.0, most));
    }
    // Each sure contact can be a shot, of its skill or, where that is not known, of all skills that the row names.
    int of_skill(Skill skill) const {
        int shots = 0;
        for (const Take& take : footage_.log.takes) {
            if (take.use == Use::never || take.kind != Kind::action) continue;
            const bool named = std::ranges::count(take.skills, skill) > 0;
            shots += static_cast<int>(std::ranges::count_if(take.impacts, [&](const Impact& impact) {
                const bool shown = impact.skill ? *impact.skill == skill : named;
                return impact.confidence >= footage_.limits.variety.confidence_floor &&
                       (shown || (skill == Skill::block && impact.with_block));
            }));
        }
        return shots;
    }
    template <class Is>
    int count(const Is& is) const {
        return static_cast<int>(std::ranges::count_if(footage_.log.takes, [&](const Take& take) {
            return take.use != Use::never && take.kind != Kind::sound && is(take);
        }));
    }

    void players_and_skills(const Grid& grid) {
        const double seen = weights_.coverage /
                            std::max<double>(1, static_cast<double>(grid.rows.size() + grid.columns.size()));
        for (std::size_t row = 0; row < grid.rows.size(); ++row) {
            const bool none = in_row(grid, row) == 0;
            for (std::size_t column = 0; column < grid.columns.size(); ++column) {
                if (grid.at(row, column).takes > 0) continue;
                const int there = in_column(grid, column);
                Gap gap{fmt::format("{} in {}", grid.rows[row], grid.columns[column]), "", 0, false};
                gap.points = (none ? seen : 0) + (there == 0 ? seen : 0) +
                             variety(0.4, in_row(grid, row)) / 2 + variety(0.4, there) / 2;
                gap.why = none         ? "no action of this player"
                          : there == 0 ? "no take of this skill"
                                       : "never together";
                found_.push_back(std::move(gap));
            }
        }
    }

    void faces(const Grid& grid) {
        for (std::size_t row = 0; row < grid.rows.size(); ++row)
            if (in_row(grid, row) == 0)
                found_.push_back(
                    {fmt::format("{}: a reaction or celebration", grid.rows[row]), "no face after a rally",
                     weights_.reaction / std::max<double>(1, static_cast<double>(grid.rows.size())), false});
    }

    int of_kind(Kind kind) const {
        return count([&](const Take& take) { return take.kind == kind; });
    }

    void open_and_close() {
        const bool story = footage_.limits.story.order == Order::story;
        const double third = story ? weights_.story / 3 : 0;
        if (of_kind(Kind::establishing) == 0)
            found_.push_back({"an establishing shot", "nothing to open with",
                              of_kind(Kind::cutaway) > 0 ? third / 2 : third, false});
        if (of_kind(Kind::celebration) == 0)
            found_.push_back({"a celebration", "nothing to end on",
                              of_kind(Kind::reaction) > 0 ? third / 2 : third, false});
        if (of_kind(Kind::cutaway) == 0)
            found_.push_back({"place and spectators", "no break between sets", weights_.spread / 2, false});
        if (coverage_.slow_motion.takes == 0)
            found_.push_back({"slow motion", "no take of a fast camera", weights_.pace * 0.05, false});
    }

    void by_two_tags(const Grid& grid, const std::string& between) {
        for (std::size_t row = 0; row < grid.rows.size(); ++row)
            for (std::size_t column = 0; column < grid.columns.size(); ++column)
                if (grid.at(row, column).takes == 0)
                    found_.push_back({fmt::format("{} {} {}", grid.rows[row], between, grid.columns[column]),
                                      "never together",
                                      variety(0.1, in_row(grid, row)) + variety(0.1, in_column(grid, column)),
                                      false});
    }

    const Footage& footage_;
    const Coverage& coverage_;
    const Weights& weights_;
    std::vector<Gap> found_;
};

} // namespace

std::vector<Gap> find_gaps(const Footage& footage, const Coverage& coverage) {
    return Gaps(footage, coverage).run();
}

} // namespace downball::coverage
