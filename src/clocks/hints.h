// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <algorithm>
#include <cstddef>
#include <utility>
#include <vector>

namespace downball::clocks {

// Two recordings that may have heard one rally: if so, the clocks were this far apart then.
struct Hint {
    std::size_t ours = 0, theirs = 0; // the recordings
    double at_s = 0;                  // by the clock of theirs
    double apart_s = 0;
    double score = 0;
};

inline std::pair<std::size_t, std::size_t> pair_of(const Hint& hint) {
    return {hint.ours, hint.theirs};
}

// A hint under one drift, and the number of its two recordings among those that have hints.
struct Placed {
    double level_s = 0;
    std::size_t pair = 0;
    Hint hint;
};

// With `pairs`: how many there are.
std::vector<Placed> placed(const std::vector<Hint>& hints, std::size_t& pairs);

// The sum of the best scores of each two recordings, of hints that come and go.
class Window {
  public:
    explicit Window(std::size_t pairs) : scores_(pairs) {}
    double score() const { return score_; }
    // When all have gone, rounding may have left something.
    void begin_anew() { score_ = 0; }
    void add(const Placed& one) {
        change(one.pair, [&](std::vector<double>& its) { its.push_back(one.hint.score); });
    }
    void remove(const Placed& one) {
        change(one.pair, [&](std::vector<double>& its) {
            its.erase(std::find(its.begin(), its.end(), one.hint.score));
        });
    }

  private:
    template <class Change>
    void change(std::size_t pair, Change make) {
        auto& its = scores_[pair];
        score_ -= best(its);
        make(its);
        score_ += best(its);
    }
    static double best(const std::vector<double>& scores) {
        return scores.empty() ? 0 : *std::max_element(scores.begin(), scores.end());
    }

    std::vector<std::vector<double>> scores_; // few each
    double score_ = 0;
};

} // namespace downball::clocks
