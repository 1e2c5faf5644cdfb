// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "solve/cut.h"

#include <vector>

namespace downball::solve {

// How often each player, skill and take is shown; coverage and freshness follow from it.
class Counts {
  public:
    Counts(const Setting& setting, const Cut& cut)
        : setting_(&setting), players_(setting.stock.player_names.size()), skills_(8),
          clips_(setting.stock.clips.size()), gain_(coverage_gain(setting)), repeat_(repeat_cost(setting)) {
        for (const Piece& piece : cut)
            add(piece.play);
    }
    // Both return the points won.
    double add(std::size_t p) {
        const Play& play = setting_->stock.plays[p];
        double points = clips_[play.clip]++ > 0 ? -repeat_ : 0;
        for (int player : setting_->stock.clip_players[play.clip])
            if (players_[static_cast<std::size_t>(player)]++ == 0) points += gain_;
        for (int skill : play.skills)
            if (skills_[static_cast<std::size_t>(skill)]++ == 0) points += gain_;
        return points;
    }
    double remove(std::size_t p) {
        const Play& play = setting_->stock.plays[p];
        double points = --clips_[play.clip] > 0 ? repeat_ : 0;
        for (int player : setting_->stock.clip_players[play.clip])
            if (--players_[static_cast<std::size_t>(player)] == 0) points -= gain_;
        for (int skill : play.skills)
            if (--skills_[static_cast<std::size_t>(skill)] == 0) points -= gain_;
        return points;
    }
    // No less than remove() wins, and than add() wins after all removals, whatever else comes and goes.
    double most_lost(std::size_t p) const { return clips_[setting_->stock.plays[p].clip] > 1 ? repeat_ : 0; }
    double most_won(std::size_t p) const {
        double points = 0;
        for (int player : setting_->stock.clip_players[setting_->stock.plays[p].clip])
            if (players_[static_cast<std::size_t>(player)] == 0) points += gain_;
        for (int skill : setting_->stock.plays[p].skills)
            if (skills_[static_cast<std::size_t>(skill)] == 0) points += gain_;
        return points;
    }

  private:
    const Setting* setting_;
    std::vector<int> players_, skills_, clips_;
    double gain_, repeat_;
};

} // namespace downball::solve
