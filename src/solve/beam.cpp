// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/beam.h"

#include <algorithm>
#include <cmath>

namespace downball::solve {
namespace {

// Leads from about a fifth of a second outwards: enough to read the movement before the hit.
std::vector<std::int64_t> leads_by_liking(const Grid& grid, std::int64_t widest) {
    std::vector<std::int64_t> leads;
    for (std::int64_t lead = grid.lead_min; lead <= widest; ++lead)
        leads.push_back(lead);
    std::int64_t liked = std::clamp(nearest_frame(0.2, grid.rate).n, grid.lead_min, grid.lead_max);
    std::stable_sort(leads.begin(), leads.end(),
                     [&](auto a, auto b) { return std::abs(a - liked) < std::abs(b - liked); });
    return leads;
}

double lacking(const Rows& rows, const std::vector<double>& sums) {
    double lack = 0;
    for (std::size_t r = 0; r < sums.size(); ++r)
        if (!rows.rows[r].soft()) lack += std::max(0.0, sums[r] - rows.rows[r].most);
    return lack;
}

} // namespace

Beam::Beam(const Constructor& maker, BeamWidth width)
    : maker_(maker), setting_(maker.setting_), rows_(maker.rows_), width_(width), sums_(rows_.rows.size()),
      anchored_(setting_.stock.plays.size()) {
    std::int64_t widest = setting_.grid.lead_max;
    for (const Play& play : setting_.stock.plays)
        widest = std::max(widest, play.lead_max);
    leads_ = leads_by_liking(setting_.grid, widest);
    std::size_t slots = setting_.grid.slots.size();
    buckets_.resize(slots);
    best_.assign(slots * setting_.stock.clips.size(), nowhere);
    holder_.assign(best_.size(), -1);
    foresee();
}

// What pins settle is known ahead, so that no shot before takes it away.
void Beam::foresee() {
    pinned_.resize(setting_.stock.plays.size());
    for (const Pin& pin : maker_.pins_) {
        if (!pin.record_in || !pin.source_in) continue;
        Cut ways;
        for (std::size_t p : pin.plays) {
            const Play& play = setting_.stock.plays[p];
            for (std::size_t s = 0; s < setting_.grid.slots.size(); ++s) {
                const std::int64_t frame = setting_.grid.slots[s].frame;
                Piece piece{p, s, *pin.record_in, 0, *pin.source_in};
                if (play.impact < 0) {
                    if (frame != piece.in || !setting_.grid.slots[s].plain) continue;
                    piece.out = piece.in + play.shortest;
                } else {
                    const auto placed = place(p, s, piece.in);
                    if (!placed || placed->source_in != piece.source_in) continue;
                    piece.stand(*placed);
                    piece.out = frame + piece.span + std::max<std::int64_t>(1, setting_.grid.tail);
                }
                ways.push_back(piece);
                pinned_[p] = 1;
                break;
            }
        }
        if (!ways.empty()) coming_.push_back(std::move(ways));
    }
}

// Could the pinned shots that come after it still stand?
bool Beam::leaves_pinned(const Piece& piece) const {
    return std::all_of(coming_.begin(), coming_.end(), [&](const Cut& ways) {
        return std::any_of(ways.begin(), ways.end(), [&](const Piece& pinned) {
            return pinned.in <= piece.in || pinned.play == piece.play || !clash(setting_, piece, pinned);
        });
    });
}

std::optional<Cut> Beam::run(std::optional<Cut>* nearly) {
    add_roots();
    for (std::size_t s = 0; s < buckets_.size(); ++s) {
        auto& bucket = buckets_[s];
        std::erase_if(bucket, [&](int index) {
            return holder_[s * setting_.stock.clips.size() + labels_[static_cast<std::size_t>(index)].kind] !=
                   index;
        });
        std::sort(bucket.begin(), bucket.end(), [&](int a, int b) {
            double x = promise(labels_[static_cast<std::size_t>(a)]);
            double y = promise(labels_[static_cast<std::size_t>(b)]);
            return x != y ? x > y : a < b;
        });
        if (bucket.size() > width_.labels) bucket.resize(width_.labels);
        for (int index : bucket)
            extend(index);
    }
    if (nearly) *nearly = std::move(nearly_);
    return std::move(found_);
}

void Beam::add_roots() {
    sums_.assign(sums_.size(), 0);
    for (std::size_t s = 0; s < buckets_.size(); ++s)
        for (bool action : {false, true}) {
            if (maker_.arcs_.of(s, action, true).empty()) continue;
            for (std::uint32_t p : action ? maker_.actions_on(s) : maker_.plains_[s]) {
                Label label;
                label.first = true;
                label.piece.play = p;
                label.piece.slot = s;
                label.kind = setting_.stock.plays[p].clip;
                if (action) {
                    auto placed = place(p, s, 0);
                    if (!placed) continue;
                    label.piece.stand(*placed);
                }
                if (!starts_where_pinned(p, 0, label.piece.source_in)) continue;
                const Play& play = setting_.stock.plays[p];
                label.value = setting_.weight[term::story] * opening_value(setting_, setting_.clip_of(play));
                if (start(p, s, std::nullopt, label.value)) offer(label);
            }
        }
}

// What a partial cut may come to.
double Beam::promise(const Label& label) const {
    return label.value + maker_.relaxation_.ahead(label.piece.play, label.piece.slot);
}

void Beam::offer(const Label& label) {
    const std::size_t at = label.piece.slot * setting_.stock.clips.size() + label.kind;
    if (label.value <= best_[at]) return;
    best_[at] = label.value;
    holder_[at] = static_cast<int>(labels_.size());
    buckets_[label.piece.slot].push_back(holder_[at]);
    labels_.push_back(label);
}

void Beam::extend(int index) {
    gather(index);
    const Label label = labels_[static_cast<std::size_t>(index)];
    bool action = setting_.stock.plays[label.piece.play].impact >= 0;
    for (const Arc& arc : maker_.arcs_.of(label.piece.slot, action, label.first)) {
        if (arc.to == buckets_.size())
            close(index);
        else if (arc.to_action)
            try_actions(index, arc);
        else
            try_plains(index, arc);
    }
}

void Beam::try_actions(int index, const Arc& arc) {
    const Label label = labels_[static_cast<std::size_t>(index)];
    std::size_t before = setting_.stock.plays[label.piece.play].clip;
    const Slot& slot = setting_.grid.slots[arc.to];
    std::vector<std::pair<Piece, double>> endings; // the shot's possible outs, by liking, with what it gave
    for (std::int64_t lead : leads_) {
        Piece piece = label.piece;
        if (finish(piece, slot.frame - lead)) endings.emplace_back(piece, finished_value(piece, arc));
    }
    if (endings.empty()) return;
    std::size_t tried = 0;
    for (std::uint32_t p : maker_.actions_on(arc.to)) {
        if (tried == width_.plays) break;
        const Play& play = setting_.stock.plays[p];
        if (anchored_[p] || (play.clip == before && label.piece.play == p)) continue;
        double value = 0;
        if (!start(p, arc.to, label.piece.play, value)) continue;
        ++tried;
        const std::pair<Piece, double>* best = nullptr;
        Placement best_place;
        double best_value = nowhere;
        for (const auto& ending : endings) {
            auto placed = place(p, arc.to, ending.first.out);
            if (!placed || !starts_where_pinned(p, placed->record_in, placed->source_in)) continue;
            double worth = setting_.weight[term::sync] * slot.unit * sync_value(placed->error);
            if (play.v < 1 && !holds_in_m2(play, slot, *placed)) worth -= 0.1;
            if (worth <= best_value + 1e-9) continue;
            best_value = worth;
            best = &ending;
            best_place = *placed;
        }
        if (!best) continue;
        Label next;
        next.piece = {p, arc.to};
        next.piece.stand(best_place);
        next.kind = kind_after(label, p);
        next.value = label.value + best->second + value;
        next.parent = index;
        next.finished = best->first;
        offer(next);
    }
}

void Beam::try_plains(int index, const Arc& arc) {
    const Label label = labels_[static_cast<std::size_t>(index)];
    std::int64_t in = setting_.grid.slots[arc.to].frame;
    Piece piece = label.piece;
    if (!finish(piece, in)) return;
    double gave = finished_value(piece, arc);
    std::size_t tried = 0;
    for (std::uint32_t p : maker_.plains_[arc.to]) {
        if (tried == width_.plays) break;
        double value = 0;
        if (!starts_where_pinned(p, in, 0) || !start(p, arc.to, label.piece.play, value)) continue;
        ++tried;
        Label next;
        next.piece = {p, arc.to, in, 0, 0, 0};
        next.kind = kind_after(label, p);
        next.value = label.value + gave + value;
        next.parent = index;
        next.finished = piece;
        offer(next);
    }
}

void Beam::close(int index) {
    const Label label = labels_[static_cast<std::size_t>(index)];
    Piece piece = label.piece;
    if (!finish(piece, setting_.grid.length)) return;
    Cut cut = pieces_;
    cut.push_back(piece);
    std::vector<double> sums = row_sums(setting_, rows_, cut);
    if (!keeps_rows(rows_, sums) || !keeps_pins(setting_, maker_.pins_, cut)) {
        double lack = lacking(rows_, sums);
        if (!nearly_ || lack < nearly_lack_) {
            nearly_lack_ = lack;
            nearly_ = std::move(cut);
        }
        return;
    }
    double score = cut_score(setting_, cut);
    if (found_ && score <= found_score_) return;
    found_score_ = score;
    found_ = std::move(cut);
}

} // namespace downball::solve
