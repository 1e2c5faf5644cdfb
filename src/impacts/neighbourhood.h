// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "impacts/feature.h"

#include <deque>
#include <functional>

namespace downball::impacts {

using Near = std::deque<Candidate>;

// Candidates pass through in order; each is judged among those within `reach_s` on both sides of it, once
// they are all there. The judge may change the candidate at the index, in its features only.
class Neighbourhood {
  public:
    using Judge = std::function<void(Near&, std::size_t)>;
    using Sink = std::function<void(const Candidate&)>;

    Neighbourhood(double reach_s, Judge judge) : reach_s_(reach_s), judge_(std::move(judge)) {}

    void push(const Candidate& candidate, const Sink& sink);
    void finish(const Sink& sink); // the rest

  private:
    void pass_on(const Sink& sink);

    double reach_s_;
    Judge judge_;
    Near near_;
    std::size_t next_ = 0; // the first not yet judged
};

} // namespace downball::impacts
