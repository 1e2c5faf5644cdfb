// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/beam.h"

#include <algorithm>
#include <cmath>

namespace downball::solve {
namespace {

constexpr double nowhere = -std::numeric_limits<double>::infinity();

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

Beam::Beam(const Constructor& maker, const Cut& old, std::size_t from, std::size_t to, BeamWidth width)
    : maker_(maker), setting_(maker.setting_), rows_(maker.rows_), old_(old), from_(from), to_(to),
      width_(width), first_slot_(from > 0 ? old[from - 1].slot : 0),
      end_slot_(to < old.size() ? old[to].slot : setting_.grid.slots.size()), sums_(rows_.rows.size()),
      anchored_(setting_.stock.plays.size()) {
    std::int64_t widest = setting_.grid.lead_max;
    for (const Play& play : setting_.stock.plays)
        widest = std::max(widest, play.lead_max);
    leads_ = leads_by_liking(setting_.grid, widest);
    std::size_t slots = end_slot_ - first_slot_;
    buckets_.resize(slots);
    best_.assign(slots * setting_.stock.clips.size(), nowhere);
    holder_.assign(best_.size(), -1);
}

std::optional<Cut> Beam::run(std::optional<Cut>* nearly) {
    add_roots();
    for (std::size_t s = 0; s < buckets_.size(); ++s) {
        auto& bucket = buckets_[s];
        std::erase_if(bucket, [&](int index) {
            return holder_[s * setting_.stock.clips.size() +
                           setting_.stock.plays[labels_[static_cast<std::size_t>(index)].piece.play].clip] !=
                   index;
        });
        std::sort(bucket.begin(), bucket.end(), [&](int a, int b) {
            double x = labels_[static_cast<std::size_t>(a)].value;
            double y = labels_[static_cast<std::size_t>(b)].value;
            return x != y ? x > y : a < b;
        });
        if (bucket.size() > width_.labels) bucket.resize(width_.labels);
        for (int index : bucket)
            extend(index);
    }
    if (nearly) *nearly = std::move(nearly_);
    return std::move(found_);
}

std::optional<Placement> Beam::place(std::size_t p, std::size_t s, std::int64_t record_in) const {
    const Play& play = setting_.stock.plays[p];
    return placement_at(setting_.grid, setting_.clip_of(play), play, setting_.grid.slots[s], record_in);
}

bool Beam::starts_where_pinned(std::size_t play, std::int64_t in, std::int64_t source_in) const {
    for (const Pin& pin : maker_.pins_) {
        bool named = std::find(pin.plays.begin(), pin.plays.end(), play) != pin.plays.end();
        if (!named && pin.record_in == in) return false;
        if (named && pin.ordinal == 0 &&
            ((pin.record_in && *pin.record_in != in) || (pin.source_in && *pin.source_in != source_in)))
            return false;
    }
    return true;
}

void Beam::add_roots() {
    if (from_ > 0) {
        Label label;
        label.piece = old_[from_ - 1];
        label.first = from_ == 1;
        offer(label);
        return;
    }
    sums_.assign(sums_.size(), 0);
    for (std::size_t s = 0; s < buckets_.size(); ++s)
        for (bool action : {false, true}) {
            if (maker_.arcs_.of(s, action, true).empty()) continue;
            for (std::uint32_t p : action ? maker_.actions_[s] : maker_.plains_[s]) {
                Label label;
                label.first = true;
                label.piece.play = p;
                label.piece.slot = s;
                if (action) {
                    auto placed = place(p, s, 0);
                    if (!placed) continue;
                    label.piece.source_in = placed->source_in;
                    label.piece.error = placed->error;
                }
                if (!starts_where_pinned(p, 0, label.piece.source_in)) continue;
                const Play& play = setting_.stock.plays[p];
                label.value = setting_.weight[term::story] * opening_value(setting_, setting_.clip_of(play));
                if (start(p, s, setting_.stock.clips.size(), label.value)) offer(label);
            }
        }
}

// The cost and gain of showing this play on this slot after that clip; false if a limit on numbers forbids
// it.
bool Beam::start(std::size_t p, std::size_t s, std::size_t before, double& value) const {
    const Play& play = setting_.stock.plays[p];
    const Slot& slot = setting_.grid.slots[s];
    double cost = before < setting_.stock.clips.size() ? pair_cost(setting_, before, play.clip)
                                                       : opening_cost(setting_, play.clip);
    value -= slot.unit * (cost + slot_cost(setting_, setting_.clip_of(play), slot));
    auto count = [&](std::size_t r) {
        const Row& row = rows_.rows[r];
        if (row.kind == Row::Kind::seen)
            value += sums_[r] > -0.5 ? row.price : 0;
        else if (row.kind == Row::Kind::fresh)
            value -= sums_[r] > 0.5 ? row.price : maker_.prices_[r];
        else if (row.use > 0) {
            if (sums_[r] + row.use > row.most + 1e-9) return false;
            value -= maker_.prices_[r] * row.use;
        } else if (sums_[r] > row.most)
            value -= maker_.prices_[r] * row.use;
        return true;
    };
    for (std::size_t r : rows_.of_clip[play.clip])
        if (!count(r)) return false;
    for (std::size_t r : rows_.of_play[p])
        if (!count(r)) return false;
    return true;
}

void Beam::note_contacts(bool shown) {
    for (const Piece& piece : pieces_) {
        const Play& play = setting_.stock.plays[piece.play];
        if (play.impact < 0) continue;
        for (std::size_t p : setting_.clip_of(play).plays)
            if (setting_.stock.plays[p].impact == play.impact) anchored_[p] = shown ? 1 : 0;
    }
}

void Beam::gather(int index) {
    note_contacts(false);
    pieces_.clear();
    for (int at = index; at >= 0; at = labels_[static_cast<std::size_t>(at)].parent)
        if (labels_[static_cast<std::size_t>(at)].parent >= 0)
            pieces_.push_back(labels_[static_cast<std::size_t>(at)].finished);
    if (from_ > 1) {
        std::size_t fixed = from_ - 1;
        for (std::size_t n = fixed; n-- > 0;)
            pieces_.push_back(old_[n]);
    }
    std::reverse(pieces_.begin(), pieces_.end());
    before_ = pieces_.size();
    for (std::size_t n = to_; n < old_.size(); ++n)
        pieces_.push_back(old_[n]);
    sums_ = row_sums(setting_, rows_, pieces_);
    const Piece& piece = labels_[static_cast<std::size_t>(index)].piece;
    for (std::size_t r : rows_.of_clip[setting_.stock.plays[piece.play].clip])
        sums_[r] += rows_.rows[r].use;
    for (std::size_t r : rows_.of_play[piece.play])
        sums_[r] += rows_.rows[r].use;
    note_contacts(true);
    near_.clear();
    same_file_.clear();
    const Clip& clip = setting_.clip_of(setting_.stock.plays[piece.play]);
    for (std::size_t n = 0; n < pieces_.size(); ++n) {
        const Clip& other = setting_.clip_of(setting_.stock.plays[pieces_[n].play]);
        if (other.media == clip.media) same_file_.push_back(pieces_[n]);
        if (other.media == clip.media || (clip.moment >= 0 && other.moment == clip.moment))
            near_.push_back(n);
    }
}

// Gives the piece its out (and its source, if it is free) and checks it against all that is known.
bool Beam::finish(Piece& piece, std::int64_t out) const {
    piece.out = out;
    const Play& play = setting_.stock.plays[piece.play];
    for (const Pin& pin : maker_.pins_)
        if (pin.record_in && piece.in < *pin.record_in && *pin.record_in < out) return false;
    for (std::size_t r : rows_.length_of[piece.play])
        if (sums_[r] + rows_.rows[r].use * static_cast<double>(out - piece.in) > rows_.rows[r].most + 1e-9)
            return false;
    if (play.impact < 0) {
        auto source = free_source(setting_, piece.play, out - piece.in, same_file_);
        for (const Pin& pin : maker_.pins_)
            if (pin.ordinal > 0 && pin.clip == play.clip && pin.source_in &&
                (!pin.record_in || pin.record_in == piece.in))
                source = *pin.source_in;
        if (!source) return false;
        piece.source_in = *source;
    }
    if (!fits(setting_, piece)) return false;
    for (std::size_t n : near_)
        if (n < before_ ? clash(setting_, pieces_[n], piece) : clash(setting_, piece, pieces_[n]))
            return false;
    return true;
}

double Beam::finished_value(const Piece& piece, const Arc& arc) const {
    const Play& play = setting_.stock.plays[piece.play];
    const Slot& slot = setting_.grid.slots[piece.slot];
    double error = play.impact >= 0 ? piece.error : border_error(slot);
    double value = arc.share * quality(setting_, play, slot, error) +
                   (play.slow ? arc.pace_slow : arc.pace_real) +
                   setting_.weight[term::story] * arrival_value(setting_, play, piece.slot) -
                   maker_.relaxation_.passed_price(maker_.prices_, piece.play, piece.out - slot.frame);
    for (std::size_t r : rows_.length_of[piece.play])
        value -= maker_.prices_[r] * rows_.rows[r].use * static_cast<double>(piece.out - piece.in);
    return value;
}

void Beam::offer(const Label& label) {
    std::size_t at = (label.piece.slot - first_slot_) * setting_.stock.clips.size() +
                     setting_.stock.plays[label.piece.play].clip;
    if (label.value <= best_[at]) return;
    best_[at] = label.value;
    holder_[at] = static_cast<int>(labels_.size());
    buckets_[label.piece.slot - first_slot_].push_back(holder_[at]);
    labels_.push_back(label);
}

void Beam::extend(int index) {
    gather(index);
    const Label label = labels_[static_cast<std::size_t>(index)];
    bool action = setting_.stock.plays[label.piece.play].impact >= 0;
    bool to_the_end = to_ >= old_.size();
    for (const Arc& arc : maker_.arcs_.of(label.piece.slot, action, label.first)) {
        if (arc.to < end_slot_) {
            if (arc.to_action)
                try_actions(index, arc);
            else
                try_plains(index, arc);
        } else if (to_the_end)
            close(index, setting_.grid.length);
        else if (arc.to == end_slot_ && arc.to_action == (setting_.stock.plays[old_[to_].play].impact >= 0))
            close(index, old_[to_].in);
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
    for (std::uint32_t p : maker_.actions_[arc.to]) {
        if (tried == width_.plays) break;
        const Play& play = setting_.stock.plays[p];
        if (anchored_[p] || (play.clip == before && label.piece.play == p)) continue;
        double value = 0;
        if (!start(p, arc.to, before, value)) continue;
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
        next.piece = {p, arc.to, best_place.record_in, 0, best_place.source_in, best_place.error};
        next.value = label.value + best->second + value;
        next.parent = index;
        next.finished = best->first;
        offer(next);
    }
}

void Beam::try_plains(int index, const Arc& arc) {
    const Label label = labels_[static_cast<std::size_t>(index)];
    std::size_t before = setting_.stock.plays[label.piece.play].clip;
    std::int64_t in = setting_.grid.slots[arc.to].frame;
    Piece piece = label.piece;
    if (!finish(piece, in)) return;
    double gave = finished_value(piece, arc);
    std::size_t tried = 0;
    for (std::uint32_t p : maker_.plains_[arc.to]) {
        if (tried == width_.plays) break;
        double value = 0;
        if (!starts_where_pinned(p, in, 0) || !start(p, arc.to, before, value)) continue;
        ++tried;
        Label next;
        next.piece = {p, arc.to, in, 0, 0, 0};
        next.value = label.value + gave + value;
        next.parent = index;
        next.finished = piece;
        offer(next);
    }
}

void Beam::close(int index, std::int64_t out) {
    const Label label = labels_[static_cast<std::size_t>(index)];
    Piece piece = label.piece;
    if (!finish(piece, out)) return;
    Cut cut = pieces_;
    cut.insert(cut.begin() + static_cast<std::ptrdiff_t>(before_), piece);
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
