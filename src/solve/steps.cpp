// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/steps.h"

#include <algorithm>

namespace downball::solve {

std::optional<std::int64_t> Steps::need(std::size_t p, std::size_t slot, const Arc& arc) const {
    const Play& play = setting_.stock.plays[p];
    if (qualities_.at(p, slot) < 0) return std::nullopt;
    std::int64_t need = 0, span = 0;
    if (play.impact < 0)
        need = std::max(arc.need, play.shortest);
    else {
        std::int64_t lead = arc.opening_lead >= 0 ? arc.opening_lead : play.lead_max;
        need = std::max(arc.need, play.shortest - std::min(lead, play.room_before));
        span = qualities_.span(p, slot);
        if (play.held > 1) need = std::max(need, span + std::max<std::int64_t>(1, setting_.grid.tail));
        if (need - span > play.tail_safe)
            need = span + least_after(setting_.grid, setting_.clip_of(play), play, need - span);
    }
    if (need > arc.cap || need - span > play.room_after) return std::nullopt;
    return need;
}

std::int64_t Steps::shortest_length(const Play& play, std::int64_t need) const {
    return play.impact < 0 ? need : std::max(play.shortest, need + setting_.grid.lead_min);
}

double Steps::gain(std::size_t p, std::size_t slot, const Arc& arc) const {
    const Play& play = setting_.stock.plays[p];
    double story = arrival_value(setting_, play, slot);
    if (arc.to == setting_.grid.slots.size()) story += ending_value(setting_, setting_.clip_of(play));
    return arc.share * qualities_.at(p, slot) + (play.slow ? arc.pace_slow : arc.pace_real) +
           setting_.weight[term::story] * story;
}

double Steps::opening(std::size_t slot, std::size_t clip) const {
    const Clip& its = setting_.stock.clips[clip];
    const Slot& where = setting_.grid.slots[slot];
    return setting_.weight[term::story] * opening_value(setting_, its) -
           where.unit * (opening_cost(setting_, clip) + slot_cost(setting_, its, where));
}

std::size_t Steps::passed_after(std::size_t play, std::int64_t frames) const {
    const auto& all = rows_.passed_by[play];
    auto end = std::find_if(all.begin(), all.end(), [&](const PassedContact& contact) {
        return contact.after > 0 && contact.after >= static_cast<double>(frames);
    });
    return static_cast<std::size_t>(end - all.begin());
}

double Steps::passed_price(const std::vector<double>& prices, std::size_t play, std::int64_t frames) const {
    double sum = 0;
    for (std::size_t n = 0, end = passed_after(play, frames); n < end; ++n)
        sum += prices[rows_.passed_by[play][n].row];
    return sum;
}

void Charges::set(const std::vector<double>& prices, const std::vector<std::uint32_t>& plays) {
    std::size_t n = setting_.stock.plays.size();
    if (use_.empty()) {
        use_.assign(n, 0);
        frame_.assign(n, 0);
        first_.assign(n, 0);
    }
    passed_.clear();
    for (std::uint32_t p : plays) {
        double use = 0, frame = 0, passed = 0;
        for (std::size_t r : rows_.of_clip[setting_.stock.plays[p].clip])
            use += prices[r] * rows_.rows[r].use;
        for (const RowUse& its : rows_.of_play[p])
            use += prices[its.row] * its.use;
        for (std::size_t r : rows_.length_of[p])
            frame += prices[r] * rows_.rows[r].use;
        use_[p] = use;
        frame_[p] = frame;
        first_[p] = passed_.size();
        passed_.push_back(0);
        for (const PassedContact& contact : rows_.passed_by[p])
            passed_.push_back(passed += prices[contact.row]);
    }
}

} // namespace downball::solve
