// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/beam.h"

#include <algorithm>

// What the beam knows of the cut so far, and what a shot may be and is worth after it.
namespace downball::solve {

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

// The cost and gain of showing this play on this slot after that clip; false if a limit on numbers forbids
// it.
bool Beam::start(std::size_t p, std::size_t s, std::optional<std::size_t> before, double& value) const {
    const Play& play = setting_.stock.plays[p];
    const Slot& slot = setting_.grid.slots[s];
    if (before && !in_order(*before, p)) return false;
    double cost = before ? pair_cost(setting_, *before, p) : opening_cost(setting_, play.clip);
    value -= slot.unit * (cost + slot_cost(setting_, setting_.clip_of(play), slot));
    auto count = [&](std::size_t r, double use) {
        const Row& row = rows_.rows[r];
        if (row.kind == Row::Kind::seen)
            value += sums_[r] > -0.5 ? row.price : 0;
        else if (row.kind == Row::Kind::fresh)
            value -= sums_[r] > 0.5 ? row.price : maker_.prices_[r];
        else if (row.use > 0) {
            if (sums_[r] + use > row.most + 1e-9) return false;
            value -= maker_.prices_[r] * use;
        } else if (row.kind == Row::Kind::differ || sums_[r] > row.most)
            value -= maker_.prices_[r] * use;
        return true;
    };
    for (std::size_t r : rows_.of_clip[play.clip])
        if (!count(r, rows_.rows[r].use)) return false;
    for (const RowUse& its : rows_.of_play[p])
        if (!count(its.row, its.use)) return false;
    return true;
}

// Against the shots that stand, and the one under extension.
bool Beam::in_order(std::size_t before, std::size_t p) const {
    if (setting_.problem.limits.story.order != Order::chronological) return true;
    const auto& plays = setting_.stock.plays;
    if (out_of_order(setting_, plays[before], plays[p])) return false;
    return std::none_of(pieces_.begin(), pieces_.end(), [&](const Piece& piece) {
        return out_of_order(setting_, plays[piece.play], plays[p]);
    });
}

void Beam::note_contacts(bool shown) {
    for (const Piece& piece : pieces_) {
        const Play& play = setting_.stock.plays[piece.play];
        if (play.impact < 0) continue;
        for (std::size_t p : setting_.clip_of(play).plays)
            if (hold_same(setting_.stock.plays[p], play)) anchored_[p] = shown ? 1 : 0;
    }
}

void Beam::gather(int index) {
    note_contacts(false);
    pieces_.clear();
    for (int at = index; at >= 0; at = labels_[static_cast<std::size_t>(at)].parent)
        if (labels_[static_cast<std::size_t>(at)].parent >= 0)
            pieces_.push_back(labels_[static_cast<std::size_t>(at)].finished);
    std::reverse(pieces_.begin(), pieces_.end());
    sums_ = row_sums(setting_, rows_, pieces_);
    const Piece& piece = labels_[static_cast<std::size_t>(index)].piece;
    for (std::size_t r : rows_.of_clip[setting_.stock.plays[piece.play].clip])
        sums_[r] += rows_.rows[r].use;
    for (const RowUse& its : rows_.of_play[piece.play])
        sums_[its.row] += its.use;
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
        if (clash(setting_, pieces_[n], piece)) return false;
    return leaves_pinned(piece);
}

double Beam::finished_value(const Piece& piece, const Arc& arc) const {
    const Play& play = setting_.stock.plays[piece.play];
    const Slot& slot = setting_.grid.slots[piece.slot];
    double error = play.impact >= 0 ? piece.error : border_error(slot);
    double value =
        arc.share * quality(setting_, play, slot, error) + (play.slow ? arc.pace_slow : arc.pace_real) +
        setting_.weight[term::story] * arrival_value(setting_, play, piece.slot) -
        maker_.steps_.passed_price(maker_.prices_, piece.play, piece.out - slot.frame - piece.span);
    for (std::size_t r : rows_.length_of[piece.play])
        value -= maker_.prices_[r] * rows_.rows[r].use * static_cast<double>(piece.out - piece.in);
    return value;
}

} // namespace downball::solve
