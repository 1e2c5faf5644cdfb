// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/edited_cut.h"

#include "solve/steps.h"

#include <algorithm>

namespace downball::solve {

EditedCut::EditedCut(const Setting& setting, const Rows& rows, const QualityTable& qualities,
                     const std::vector<Pin>& pins, const Cut& start)
    : setting_(setting), rows_(rows), qualities_(qualities), pins_(pins),
      chronological_(setting.problem.limits.story.order == Order::chronological), cut_(start),
      worth_(start.size()), counts_(setting, start), score_(cut_score(setting, start)) {
    const auto& slots = setting.grid.slots;
    std::int64_t farthest = setting.grid.longest + setting.grid.lead_max;
    for (const Play& play : setting.stock.plays)
        farthest = std::max(farthest, setting.grid.longest + play.lead_max);
    auto frame = [&](std::size_t s) { return s < slots.size() ? slots[s].frame : setting.grid.length; };
    for (std::size_t s = 0; s < slots.size(); ++s)
        for (std::size_t to = s + 1; to <= slots.size() && frame(to) - slots[s].frame <= farthest; ++to)
            reach_ = std::max(reach_, to - s);
    for (std::size_t s = 0; s < slots.size(); ++s)
        for (std::size_t to = s + 1; to <= s + reach_; ++to) {
            auto span = static_cast<double>(frame(std::min(to, slots.size())) - slots[s].frame);
            double share = span / static_cast<double>(setting.grid.length);
            double weight = setting.weight[term::pace] * share;
            spans_.push_back({share, weight * pace_value(slots[s], false, span),
                              weight * pace_value(slots[s], true, span)});
        }
    for (const Clip& clip : setting.stock.clips) {
        first_contact_.push_back(shown_.size());
        shown_.resize(shown_.size() + clip.contacts.size());
    }
    watch_rows();
    for (std::size_t n = 0; n < cut_.size(); ++n) {
        note_contacts(cut_[n], 1);
        const double quality = exact_quality(cut_[n]);
        worth_[n] = {quality, hang(cut_[n], quality, slot_after(n + 1), n == 0),
                     join(n > 0 ? &cut_[n - 1] : nullptr, cut_[n])};
    }
}

void EditedCut::note_contacts(const Piece& piece, int by) {
    const Play& play = play_of(piece);
    if (play.impact < 0) return;
    const std::size_t from = first_contact_[play.clip] + static_cast<std::size_t>(play.contact);
    for (std::size_t n = from; n < from + static_cast<std::size_t>(play.held); ++n)
        shown_[n] += by;
}

bool EditedCut::holds(std::size_t p) const {
    const Play& play = setting_.stock.plays[p];
    if (play.impact < 0) return false;
    auto from = shown_.begin() + static_cast<std::ptrdiff_t>(first_contact_[play.clip] +
                                                             static_cast<std::size_t>(play.contact));
    return std::any_of(from, from + play.held, [](int shots) { return shots > 0; });
}

std::size_t EditedCut::holder_of(std::size_t p, std::size_t from, std::size_t to) const {
    if (!holds(p)) return cut_.size();
    for (std::size_t n = 0; n < cut_.size(); ++n)
        if ((n < from || n >= to) && hold_same(play_of(cut_[n]), setting_.stock.plays[p])) return n;
    return cut_.size();
}

double EditedCut::exact_quality(const Piece& piece) const {
    const Play& play = play_of(piece);
    const Slot& slot = setting_.grid.slots[piece.slot];
    return quality(setting_, play, slot, play.impact >= 0 ? piece.error : border_error(slot));
}

double EditedCut::span_value(std::size_t slot, std::size_t to, bool slow, bool first, double its) const {
    const auto& slots = setting_.grid.slots;
    if (!first) {
        if (to - slot > reach_) return nowhere;
        const auto& [share, real, slowed] = spans_[slot * reach_ + (to - slot - 1)];
        return share * its + (slow ? slowed : real);
    }
    auto span = static_cast<double>(to < slots.size() ? slots[to].frame : setting_.grid.length);
    return span / static_cast<double>(setting_.grid.length) *
           (its + setting_.weight[term::pace] * pace_value(slots[slot], slow, span));
}

double EditedCut::hang(const Piece& piece, double its, std::size_t to, bool first) const {
    const Play& play = play_of(piece);
    double story = arrival_value(setting_, play, piece.slot);
    if (first) story += opening_value(setting_, setting_.clip_of(play));
    if (to == setting_.grid.slots.size()) story += ending_value(setting_, setting_.clip_of(play));
    return span_value(piece.slot, to, play.slow, first, its) + setting_.weight[term::story] * story;
}

double EditedCut::join(const Piece* before, const Piece& piece) const {
    const Play& play = play_of(piece);
    const Slot& slot = setting_.grid.slots[piece.slot];
    const double cost =
        before ? pair_cost(setting_, before->play, piece.play) : opening_cost(setting_, play.clip);
    return slot.unit * (cost + slot_cost(setting_, setting_.clip_of(play), slot));
}

double EditedCut::joins(std::size_t play, std::size_t slot, const Piece* before, const Piece* after) const {
    const auto& slots = setting_.grid.slots;
    double cost = 0;
    if (before) cost += slots[slot].unit * pair_cost(setting_, before->play, play);
    if (after) cost += slots[after->slot].unit * pair_cost(setting_, play, after->play);
    return cost;
}

// What the edits win, but for coverage and freshness; before they are placed, no less than that.
double EditedCut::points(std::span<const Edit> edits, bool placed) {
    double sum = 0;
    for (const Edit& edit : edits) {
        const std::size_t next = edit.at + edit.removed;
        const Piece* before = edit.at > 0 ? &cut_[edit.at - 1] : nullptr;
        for (std::size_t n = edit.at; n < next; ++n)
            sum -= worth_[n].hang - worth_[n].join;
        if (before)
            sum += hang(*before, worth_[edit.at - 1].quality,
                        edit.count > 0 ? edit.shots[0].slot : slot_after(next), edit.at == 1) -
                   worth_[edit.at - 1].hang;
        for (std::size_t k = 0; k < edit.count; ++k) {
            const Piece& piece = edit.shots[k];
            const double its = placed ? exact_quality(piece) : qualities_.at(piece.play, piece.slot);
            if (its < 0) return nowhere;
            sum += hang(piece, its, k + 1 < edit.count ? edit.shots[k + 1].slot : slot_after(next), !before) -
                   join(before, piece);
            before = &piece;
        }
        if (next < cut_.size()) sum += worth_[next].join - join(before, cut_[next]);
    }
    return sum;
}

double EditedCut::most_by_numbers(std::span<const Edit> edits) const {
    double most = 0;
    for (const Edit& edit : edits) {
        for (std::size_t n = edit.at; n < edit.at + edit.removed; ++n)
            most += counts_.most_lost(cut_[n].play);
        for (std::size_t k = 0; k < edit.count; ++k)
            most += counts_.most_won(edit.shots[k].play);
    }
    return most;
}

// Gives each new shot its first frame, the old one by preference, and checks what lies with the shots
// alone.
bool EditedCut::place(Edit& edit, Dice& dice) {
    const std::size_t next = edit.at + edit.removed;
    const bool has_before = edit.at > 0;
    Piece before = has_before ? cut_[edit.at - 1] : Piece{};
    for (std::size_t k = 0; k < edit.count; ++k) {
        const std::int64_t liked = edit.at + k < next ? cut_[edit.at + k].in : -1;
        if (!begin(edit.shots[k], has_before || k > 0 ? &before : nullptr, liked, dice)) return false;
        if (k > 0) edit.shots[k - 1].out = edit.shots[k].in;
        before = edit.shots[k];
    }
    before.out = in_of(next);
    if (edit.count > 0) edit.shots[edit.count - 1].out = before.out;
    return (has_before || edit.count > 0) && fits(setting_, before);
}

bool EditedCut::begin(Piece& piece, Piece* before, std::int64_t liked, Dice& dice) {
    const Play& play = play_of(piece);
    const Slot& slot = setting_.grid.slots[piece.slot];
    auto ends_well = [&](std::int64_t in) {
        if (!before) return in == 0;
        before->out = in;
        return fits(setting_, *before);
    };
    if (play.impact < 0) {
        piece.in = slot.frame;
        piece.source_in = setting_.clip_of(play).first;
        return slot.plain && ends_well(piece.in);
    }
    if (slot.beat < 0) return false;
    auto try_at = [&](std::int64_t in) {
        auto found = placement_at(setting_.grid, setting_.clip_of(play), play, slot, in);
        if (!found || !ends_well(in)) return false;
        piece.stand(*found);
        return true;
    };
    if (!before) return try_at(0);
    if (liked >= 0 && try_at(liked)) return true;
    std::int64_t many = play.lead_max - setting_.grid.lead_min + 1;
    auto turn = static_cast<std::int64_t>(dice.below(static_cast<std::size_t>(many)));
    for (std::int64_t k = 0; k < many; ++k)
        if (try_at(slot.frame - setting_.grid.lead_min - (k + turn) % many)) return true;
    return false;
}

// Makes the numbers those after the edits; returns what that wins.
double EditedCut::count(std::span<const Edit> edits) {
    double won = 0;
    for (const Edit& edit : edits) {
        for (std::size_t n = edit.at; n < edit.at + edit.removed; ++n)
            won += counts_.remove(cut_[n].play);
        for (std::size_t k = 0; k < edit.count; ++k)
            won += counts_.add(edit.shots[k].play);
    }
    return won;
}

void EditedCut::put_in(const Edit& edit) {
    auto at = cut_.begin() + static_cast<std::ptrdiff_t>(edit.at);
    auto shots = edit.shots.begin();
    const std::size_t common = std::min(edit.removed, edit.count);
    std::copy(shots, shots + static_cast<std::ptrdiff_t>(common), at);
    at += static_cast<std::ptrdiff_t>(common);
    if (edit.removed > common)
        cut_.erase(at, at + static_cast<std::ptrdiff_t>(edit.removed - common));
    else
        cut_.insert(at, shots + static_cast<std::ptrdiff_t>(common),
                    shots + static_cast<std::ptrdiff_t>(edit.count));
    if (edit.at > 0) cut_[edit.at - 1].out = in_of(edit.at);
}

bool EditedCut::change(std::span<Edit> edits, double bar, Dice& dice) {
    if (points(edits, false) + most_by_numbers(edits) <= bar) return false;
    for (Edit& edit : edits)
        if (!place(edit, dice)) return false;
    const double won = points(edits, true) + count(edits);
    std::array<Edit, 2> back;
    std::array<Piece, 2> ahead;
    for (std::size_t e = 0; e < edits.size(); ++e) {
        const Edit& edit = edits[e];
        back[e] = {edit.at, edit.count};
        back[e].count = edit.removed;
        if (edit.at > 0) ahead[e] = cut_[edit.at - 1];
        for (std::size_t k = 0; k < edit.removed; ++k)
            back[e].shots[k] = cut_[edit.at + k];
    }
    put_in(edits[0]);
    if (edits.size() == 2) {
        edits[1].at += edits[0].count;
        edits[1].at -= edits[0].removed;
        put_in(edits[1]);
    }
    if (won > bar && stand(edits)) {
        for (std::size_t e = 0; e < edits.size(); ++e) {
            for (std::size_t k = 0; k < back[e].count; ++k)
                note_contacts(back[e].shots[k], -1);
            take_over(edits[e]);
        }
        score_ += won;
        return true;
    }
    for (std::size_t e = 0; e < edits.size(); ++e) {
        for (std::size_t k = 0; k < edits[e].count; ++k)
            counts_.remove(edits[e].shots[k].play);
        for (std::size_t k = 0; k < back[e].count; ++k)
            counts_.add(back[e].shots[k].play);
        put_in(back[e]);
        if (back[e].at > 0) cut_[back[e].at - 1] = ahead[e];
    }
    return false;
}

// After an edit was put in: what the shots are worth now, from the one before it to the one after.
void EditedCut::take_over(const Edit& edit) {
    auto at = worth_.begin() + static_cast<std::ptrdiff_t>(edit.at);
    if (edit.count > edit.removed)
        worth_.insert(at, edit.count - edit.removed, Worth{});
    else
        worth_.erase(at, at + static_cast<std::ptrdiff_t>(edit.removed - edit.count));
    for (std::size_t n = edit.at > 0 ? edit.at - 1 : 0; n <= edit.at + edit.count && n < cut_.size(); ++n) {
        const bool fresh = n >= edit.at && n < edit.at + edit.count;
        if (fresh) note_contacts(cut_[n], 1);
        const double its = fresh ? exact_quality(cut_[n]) : worth_[n].quality;
        worth_[n] = {its, hang(cut_[n], its, slot_after(n + 1), n == 0),
                     join(n > 0 ? &cut_[n - 1] : nullptr, cut_[n])};
    }
}

// Limits that need other shots: no two clash, numbers and shares, locks.
bool EditedCut::stand(std::span<const Edit> edits) {
    for (const Edit& edit : edits)
        for (std::size_t n = edit.at > 0 ? edit.at - 1 : 0; n < edit.at + edit.count; ++n)
            if (!stands(n)) return false;
    return keeps_numbers() && keeps_pins(setting_, pins_, cut_);
}

bool EditedCut::stands(std::size_t n) {
    Piece& piece = cut_[n];
    const Play& play = play_of(piece);
    const Clip& clip = setting_.clip_of(play);
    same_file_.clear();
    for (std::size_t other = 0; other < cut_.size(); ++other) {
        if (other == n) continue;
        const Clip& its = setting_.clip_of(play_of(cut_[other]));
        if (its.media == clip.media) same_file_.push_back(cut_[other]);
        bool close = its.media == clip.media || (clip.moment >= 0 && its.moment == clip.moment);
        if (!close && !chronological_) continue;
        const Piece& a = cut_[std::min(n, other)];
        const Piece& b = cut_[std::max(n, other)];
        if (play.impact < 0 ? contradict(setting_, a, b) : clash(setting_, a, b)) return false;
    }
    if (play.impact >= 0) return true;
    auto source = free_source(setting_, piece.play, piece.out - piece.in, same_file_);
    if (source) piece.source_in = *source;
    return source.has_value();
}

// keeps_rows() for the few rows that are hard and count shots or frames.
bool EditedCut::keeps_numbers() {
    std::fill(sums_.begin(), sums_.end(), 0);
    auto add = [&](const std::vector<std::size_t>& rows, double times) {
        for (std::size_t r : rows)
            if (watched_[r] > 0) sums_[watched_[r] - 1] += rows_.rows[r].use * times;
    };
    for (const Piece& piece : cut_) {
        add(rows_.of_clip[play_of(piece).clip], 1);
        for (const RowUse& its : rows_.of_play[piece.play])
            if (watched_[its.row] > 0) sums_[watched_[its.row] - 1] += its.use;
        add(rows_.length_of[piece.play], static_cast<double>(piece.out - piece.in));
    }
    for (std::size_t n = 0; n < sums_.size(); ++n)
        if (sums_[n] > most_[n] + 1e-9) return false;
    return true;
}

void EditedCut::watch_rows() {
    for (const Row& row : rows_.rows) {
        bool counts = !row.soft() && row.kind != Row::Kind::point && row.kind != Row::Kind::moment;
        if (counts) most_.push_back(row.most);
        watched_.push_back(counts ? most_.size() : 0);
    }
    sums_.resize(most_.size());
}

} // namespace downball::solve
