// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "impacts/neighbourhood.h"

#include <iterator>

namespace downball::impacts {

void Neighbourhood::push(const Candidate& candidate, const Sink& sink) {
    // Onsets are placed after the rises were found, so two close ones may come the wrong way round.
    auto at = near_.end();
    const auto first = near_.begin() + static_cast<std::ptrdiff_t>(next_);
    while (at != first && std::prev(at)->seconds > candidate.seconds)
        --at;
    near_.insert(at, candidate);
    while (near_[next_].seconds < near_.back().seconds - reach_s_)
        pass_on(sink);
}

void Neighbourhood::pass_on(const Sink& sink) {
    judge_(near_, next_);
    sink(near_[next_]);
    ++next_;
    while (next_ < near_.size() && near_.front().seconds < near_[next_].seconds - reach_s_) {
        near_.pop_front();
        --next_;
    }
}

void Neighbourhood::finish(const Sink& sink) {
    while (next_ < near_.size())
        pass_on(sink);
    near_.clear();
    next_ = 0;
}

} // namespace downball::impacts
