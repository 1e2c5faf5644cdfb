// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/quality.h"

#include "solve/beside.h"

#include <algorithm>
#include <cmath>

namespace downball::solve {
namespace {

constexpr double cannot = -1;

bool pin_allows(const std::vector<Pin>& pins, std::size_t play, const Placement& place) {
    for (const Pin& pin : pins) {
        if (pin.ordinal > 0) continue;
        bool named = std::find(pin.plays.begin(), pin.plays.end(), play) != pin.plays.end();
        // A contact is anchored once at most, so the lock binds every use of it.
        if (named && ((pin.record_in && *pin.record_in != place.record_in) ||
                      (pin.source_in && *pin.source_in != place.source_in)))
            return false;
        if (!named && pin.record_in && *pin.record_in == place.record_in) return false;
    }
    return true;
}

// May the shot hang there, seen from those that are locked to that place or one before or after it?
bool pinned_allow(const Setting& setting, const std::vector<Pin>& pins, std::size_t p, const Slot& slot) {
    const auto& plays = setting.stock.plays;
    const Play& play = plays[p];
    return std::all_of(pins.begin(), pins.end(), [&](const Pin& pin) {
        if (!pin.record_in) return true;
        const std::int64_t at = *pin.record_in;
        const bool named = std::find(pin.plays.begin(), pin.plays.end(), p) != pin.plays.end();
        if (!named && play.impact < 0 && slot.frame == at) return false;
        // The first shot of its take: no other comes before it.
        if (pin.ordinal == 1 && play.clip == pin.clip && slot.frame < at) return false;
        const bool before = slot.frame < at;
        const bool after = slot.frame - play.lead_max > at;
        return std::any_of(pin.plays.begin(), pin.plays.end(), [&](std::size_t q) {
            return !(before && out_of_order(setting, play, plays[q])) &&
                   !(after && out_of_order(setting, plays[q], play));
        });
    });
}

// The placement of least error; nothing if there is none.
std::optional<Placement> best_place(const Setting& setting, const std::vector<Pin>& pins, std::size_t p,
                                    const Slot& slot) {
    const Play& play = setting.stock.plays[p];
    const Clip& clip = setting.clip_of(play);
    std::optional<Placement> best;
    auto look = [&](std::int64_t record_in) {
        auto place = placement_at(setting.grid, clip, play, slot, record_in);
        if (place && place->span < setting.grid.longest && (pins.empty() || pin_allows(pins, p, *place)) &&
            (!best || std::abs(place->error) < std::abs(best->error)))
            best = place;
    };
    // At real time a longer lead changes nothing but that it may not be there.
    const std::int64_t least = std::max<std::int64_t>(setting.grid.lead_min, play.held > 1 ? 1 : 0);
    const std::int64_t longest = pins.empty() && play.v == 1 ? std::min(least, play.lead_max) : play.lead_max;
    for (std::int64_t lead = least; lead <= longest; ++lead)
        look(slot.frame - lead);
    if (longest < play.lead_max) return best;
    if (slot.frame > play.lead_max && slot.frame <= setting.grid.longest) look(0);
    return best;
}

} // namespace

QualityTable::QualityTable(const Setting& setting, const std::vector<Pin>& pins)
    : plays_(setting.stock.plays.size()) {
    const auto& plays = setting.stock.plays;
    const auto& slots = setting.grid.slots;
    table_.assign(plays_ * slots.size(), static_cast<float>(cannot));
    for (const Play& play : plays)
        rally_.push_back(play.held > 1 ? static_cast<std::uint32_t>(rallies_++) : no_rally);
    spans_.assign(rallies_ * slots.size(), 0);
    const std::size_t half = plays_ / 2;
    auto first_half = beside([&] { fill(setting, pins, 0, half); });
    fill(setting, pins, half, plays_);
    first_half.get();
}

void QualityTable::fill(const Setting& setting, const std::vector<Pin>& pins, std::size_t from,
                        std::size_t to) {
    const auto& slots = setting.grid.slots;
    for (std::size_t p = from; p < to; ++p) {
        const Play& play = setting.stock.plays[p];
        for (std::size_t s = 0; s < slots.size(); ++s) {
            const Slot& slot = slots[s];
            if (!(play.impact < 0 ? slot.plain : slot.beat >= 0)) continue;
            if (!pins.empty() && !pinned_allow(setting, pins, p, slot)) continue;
            double error = 0;
            if (play.impact >= 0) {
                const auto place = best_place(setting, pins, p, slot);
                if (!place) continue;
                error = place->error;
                if (play.held > 1) spans_[s * rallies_ + rally_[p]] = static_cast<std::uint16_t>(place->span);
            } else
                error = border_error(slot);
            const double best = quality(setting, play, slot, error);
            if (best >= 0) table_[s * plays_ + p] = std::nextafter(static_cast<float>(best), 1e9F);
        }
    }
}

} // namespace downball::solve
