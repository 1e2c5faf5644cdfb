// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "impacts/feature.h"

#include <deque>
#include <functional>

namespace downball::impacts {

// Looks at each candidate among those within some seconds of it, and fills the features that depend on
// them: applause is dense, music comes back in equal steps, an echo repeats a louder sound.
class Context {
  public:
    using Sink = std::function<void(const Candidate&)>;

    // Candidates must come in order. Those whose neighbourhood is now complete go to `sink`, in order.
    void push(const Candidate& candidate, const Sink& sink);
    void finish(const Sink& sink); // the rest

    static constexpr double reach_s = 5; // on each side

  private:
    void judge(std::size_t index);

    std::deque<Candidate> near_;
    std::size_t next_ = 0; // the first not yet judged
};

} // namespace downball::impacts
