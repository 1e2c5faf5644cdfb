// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/matching.h"

#include <algorithm>
#include <cmath>
#include <cstring>
#include <limits>

namespace downball::solve {
namespace {

// The first 32 players have a bit each. That others are alike is left out, which favours the relaxation.
std::int32_t known_players(const Tags& tags) {
    return static_cast<std::int32_t>(static_cast<std::uint32_t>(tags.players));
}

using Floats = float __attribute__((vector_size(16)));
using Ints = std::int32_t __attribute__((vector_size(16)));

Floats load(const float* from) {
    Floats to;
    std::memcpy(&to, from, sizeof to);
    return to;
}
Ints load(const std::int32_t* from) {
    Ints to;
    std::memcpy(&to, from, sizeof to);
    return to;
}
Floats all(float value) {
    return Floats{value, value, value, value};
}
// The value where the mask is set, else 0.
Floats only(Ints mask, float value) {
    return reinterpret_cast<Floats>(mask & reinterpret_cast<Ints>(all(value)));
}
Floats greater(Floats a, Floats b) {
    Ints more = a > b;
    return reinterpret_cast<Floats>((more & reinterpret_cast<Ints>(a)) | (~more & reinterpret_cast<Ints>(b)));
}

} // namespace

Matching::Matching(const Setting& setting, const std::vector<std::uint32_t>& clips, bool later)
    : setting_(setting), later_(later) {
    const TagCosts& costs = setting.tag_costs;
    std::size_t n = clips.size();
    for (std::size_t k = 0; k < n + block; ++k) {
        const Tags& tags = setting.tags[clips[std::min(k, n - 1)]];
        players_.push_back(known_players(tags));
        look_.push_back(mark(tags.look, later));
        camera_.push_back(mark(tags.camera, later));
        set_.push_back(tags.set);
        side_.push_back(mark(later ? tags.side : tags.other, later));
        day_.push_back(static_cast<std::int32_t>(later ? tags.day : -tags.day));
        kin_.push_back(tags.kin);
        base_.push_back(static_cast<float>((later ? tags.answers : tags.leaves) ? costs.reaction : 0));
        still_.push_back(static_cast<float>(tags.action ? 0 : costs.pause));
    }
}

Matching::Source Matching::source(double value, std::size_t clip, double unit) const {
    const Tags& tags = setting_.tags[clip];
    const TagCosts& costs = setting_.tag_costs;
    Source its;
    its.value = static_cast<float>(value);
    its.base = static_cast<float>((later_ ? tags.leaves : tags.answers) ? costs.reaction : 0);
    its.still = tags.action ? 0 : 1;
    its.set = static_cast<float>(tags.set != 0 ? unit * costs.set : 0);
    its.players = known_players(tags);
    its.look = mark(tags.look, !later_);
    its.camera = mark(tags.camera, !later_);
    its.set_number = tags.set;
    its.side = mark(later_ ? tags.other : tags.side, !later_);
    its.day = static_cast<std::int32_t>(later_ ? tags.day : -tags.day);
    its.kin = tags.kin;
    return its;
}

void Matching::serve_block(const std::vector<Source>& sources, const Costs& costs, float unit, std::size_t at,
                           float (&best)[block], std::int32_t (&which)[block]) const {
    const Ints players = load(&players_[at]), look = load(&look_[at]), camera = load(&camera_[at]);
    const Ints set = load(&set_[at]), side = load(&side_[at]), day = load(&day_[at]), kin = load(&kin_[at]);
    const Ints set_known = set != 0;
    const Floats base = load(&base_[at]), still = load(&still_[at]), weigh = all(unit);
    Floats held = load(best);
    Ints from = load(which);
    for (std::size_t k = 0; k < sources.size(); ++k) {
        const Source& its = sources[k];
        // Below the worst served of the block, less what its cuts cost anyway, nothing is gained.
        Floats bar = held + weigh * base;
        if (its.value <= bar[0] && its.value <= bar[1] && its.value <= bar[2] && its.value <= bar[3]) break;
        Floats cost = weigh * (greater(all(its.base), base) + all(its.still) * still);
        cost += only((players & its.players) != 0, costs.player);
        cost += only(look == its.look, costs.look);
        cost += only(camera == its.camera, costs.camera);
        cost += only((set != its.set_number) & set_known, its.set);
        cost += only(side == its.side, costs.side);
        cost += only(day < its.day, costs.back);
        cost += only(kin == its.kin, std::numeric_limits<float>::infinity());
        Floats total = all(its.value) - cost;
        Ints more = total > held;
        held = greater(total, held);
        auto number = static_cast<std::int32_t>(k);
        from = (more & Ints{number, number, number, number}) | (~more & from);
    }
    std::memcpy(best, &held, sizeof held);
    std::memcpy(which, &from, sizeof from);
}

// The best few of the others serve most clips; of the rest only those count that are better than what the
// worst served clip has.
void Matching::serve(Ranked& others, double unit, std::size_t from, std::size_t to, std::vector<double>& best,
                     std::vector<std::uint32_t>& which) const {
    if (others.empty() || from >= to) return;
    constexpr std::size_t few = 24;
    auto better = [](const auto& a, const auto& b) {
        return a.first != b.first ? a.first > b.first : a.second < b.second;
    };
    auto edge = others.begin() + static_cast<std::ptrdiff_t>(std::min(few, others.size()));
    if (edge != others.end()) std::nth_element(others.begin(), edge, others.end(), better);
    std::sort(others.begin(), edge, better);
    serve_from(others, 0, static_cast<std::size_t>(edge - others.begin()), unit, from, to, best, which);
    double worst = std::numeric_limits<double>::infinity();
    for (std::size_t at = from; at < to; ++at)
        worst = std::min(worst, best[at] + unit * static_cast<double>(base_[at]));
    auto end = std::partition(edge, others.end(), [&](const auto& other) { return other.first > worst; });
    if (end == edge) return;
    std::sort(edge, end, better);
    serve_from(others, static_cast<std::size_t>(edge - others.begin()),
               static_cast<std::size_t>(end - others.begin()), unit, from, to, best, which);
}

void Matching::serve_from(const Ranked& others, std::size_t first, std::size_t end, double unit,
                          std::size_t from, std::size_t to, std::vector<double>& best,
                          std::vector<std::uint32_t>& which) const {
    const double top = others[first].first;
    std::vector<Source> sources;
    for (std::size_t k = first; k < end; ++k)
        sources.push_back(source(others[k].first - top, others[k].second, unit));
    const TagCosts& tag = setting_.tag_costs;
    auto small = [&](double cost) { return static_cast<float>(unit * cost); };
    const float back = tag.back < std::numeric_limits<double>::infinity()
                           ? small(tag.back)
                           : std::numeric_limits<float>::infinity();
    const double dearest = unit * (tag.player + tag.look + tag.camera + tag.side + tag.reaction + tag.pause +
                                   tag.set + (std::isfinite(tag.back) ? tag.back : 0));
    const Costs costs{small(tag.player), small(tag.look), small(tag.camera), small(tag.side), back};
    for (std::size_t at = from; at < to; at += block) {
        float its[block];
        std::int32_t found[block];
        for (std::size_t i = 0; i < block; ++i) {
            // Places past the end belong to others; they never hold the block back.
            its[i] =
                at + i < to ? static_cast<float>(best[at + i] - top) : std::numeric_limits<float>::infinity();
            found[i] = -1;
        }
        serve_block(sources, costs, static_cast<float>(unit), at, its, found);
        for (std::size_t i = 0; i < block && at + i < to; ++i) {
            // Also where nothing was better, something may be by what rounding took from it.
            const double lost = rounding * (std::abs(static_cast<double>(its[i])) + dearest);
            if (std::isfinite(lost)) best[at + i] += lost;
            if (found[i] < 0) continue;
            best[at + i] = top + static_cast<double>(its[i]) + lost;
            which[at + i] = static_cast<std::uint32_t>(first) + static_cast<std::uint32_t>(found[i]);
        }
    }
}

} // namespace downball::solve
