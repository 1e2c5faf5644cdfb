// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/arcs.h"

#include <algorithm>

namespace downball::solve {
namespace {

struct Maker {
    const Setting& setting;
    const std::vector<Pin>& pins;
    std::int64_t widest_lead = 0;

    bool crosses_pin(std::int64_t latest_in, std::int64_t earliest_out) const {
        return std::any_of(pins.begin(), pins.end(), [&](const Pin& pin) {
            return pin.record_in && latest_in < *pin.record_in && *pin.record_in < earliest_out;
        });
    }

    void add(std::vector<Arc>& list, std::size_t from, bool action, bool first, std::size_t to,
             bool to_action) const {
        const Grid& grid = setting.grid;
        const Slot& slot = grid.slots[from];
        bool end = to == grid.slots.size();
        std::int64_t target = end ? grid.length : grid.slots[to].frame;
        std::int64_t out_low = to_action ? target - widest_lead : target;
        std::int64_t out_high = to_action ? target - grid.lead_min : target;
        std::int64_t lead_low = action ? (first ? slot.frame : grid.lead_min) : 0;
        std::int64_t lead_high = action ? (first ? slot.frame : widest_lead) : 0;
        Arc arc;
        arc.to = to;
        arc.to_action = to_action;
        if (first && action) arc.opening_lead = slot.frame;
        arc.need = std::max(out_low - slot.frame, grid.shortest - lead_high);
        if (action) arc.need = std::max({arc.need, grid.tail, std::int64_t{1}});
        arc.cap = std::min(out_high - slot.frame, grid.longest - lead_low);
        if (arc.need > arc.cap || crosses_pin(slot.frame - lead_low, slot.frame + arc.need)) return;
        double span = static_cast<double>(target - (first ? 0 : slot.frame));
        arc.share = span / static_cast<double>(grid.length);
        arc.pace_real = setting.weight[term::pace] * arc.share * pace_value(slot, false, span);
        arc.pace_slow = setting.weight[term::pace] * arc.share * pace_value(slot, true, span);
        list.push_back(arc);
    }

    std::vector<Arc> from(std::size_t slot_index, bool action, bool first) const {
        const Grid& grid = setting.grid;
        const Slot& slot = grid.slots[slot_index];
        std::vector<Arc> list;
        if (action ? slot.beat < 0 : !slot.plain) return list;
        if (first && action && (slot.frame < grid.lead_min || slot.frame > grid.longest)) return list;
        if (first && !action && slot_index > 0) return list;
        std::int64_t farthest = slot.frame + grid.longest + widest_lead;
        for (std::size_t to = slot_index + 1; to < grid.slots.size(); ++to) {
            if (grid.slots[to].frame > farthest) break;
            if (grid.slots[to].beat >= 0) add(list, slot_index, action, first, to, true);
            if (grid.slots[to].plain) add(list, slot_index, action, first, to, false);
        }
        add(list, slot_index, action, first, grid.slots.size(), false);
        return list;
    }
};

} // namespace

Arcs make_arcs(const Setting& setting, const std::vector<Pin>& pins) {
    Maker maker{setting, pins, setting.grid.lead_max};
    for (const Play& play : setting.stock.plays)
        maker.widest_lead = std::max(maker.widest_lead, play.lead_max);
    Arcs arcs;
    for (std::size_t slot = 0; slot < setting.grid.slots.size(); ++slot) {
        arcs.action.push_back(maker.from(slot, true, false));
        arcs.plain.push_back(maker.from(slot, false, false));
        arcs.first_action.push_back(maker.from(slot, true, true));
        arcs.first_plain.push_back(maker.from(slot, false, true));
    }
    return arcs;
}

} // namespace downball::solve
