// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "clocks/lag.h"

#include <algorithm>
#include <numeric>
#include <set>

namespace downball::clocks {
namespace {

// A rally has a contact a second; the next cannot be served until some 12 s after it (facts of the game).
constexpr double pause_s = 6;
// A face is filmed while it still shows what the rally did (common practice, no source).
constexpr double answer_s = 10;
// Of one camera that stopped and started within a rally, or whose file was split.
constexpr double restart_s = 3;

// A recording in the day, and its rally if it is one.
struct Placed {
    std::size_t index = 0;
    double begin_s = 0, end_s = 0;
    double first_s = 0, last_s = 0; // contacts
    bool rally = false, several = false;
    double slack_s = 0;
};

Placed place(const Recording& recording, double begin_s, double slack_s) {
    Placed placed{.index = 0, .begin_s = begin_s, .end_s = begin_s + recording.real_s, .slack_s = slack_s};
    std::size_t rallies = 0, run = 0;
    double weight = 0, run_weight = 0, run_first_s = 0;
    const auto& contacts = recording.contacts;
    for (std::size_t i = 0; i < contacts.size(); ++i) {
        if (run == 0) run_first_s = contacts[i].at_s;
        ++run;
        run_weight += contacts[i].confidence;
        if (i + 1 < contacts.size() && contacts[i + 1].at_s - contacts[i].at_s < pause_s) continue;
        if (run > 1) ++rallies;
        if (run_weight > weight) { // the rally is where most was heard
            weight = run_weight;
            placed.first_s = begin_s + run_first_s;
            placed.last_s = begin_s + contacts[i].at_s;
        }
        run = 0;
        run_weight = 0;
    }
    placed.several = rallies > 1;
    placed.rally = !contacts.empty() && !placed.several;
    return placed;
}

class Groups {
  public:
    explicit Groups(std::size_t n) : parent_(n) { std::iota(parent_.begin(), parent_.end(), std::size_t{0}); }
    std::size_t of(std::size_t i) {
        while (parent_[i] != i)
            i = parent_[i] = parent_[parent_[i]];
        return i;
    }
    void join(std::size_t a, std::size_t b) {
        a = of(a);
        b = of(b);
        parent_[std::max(a, b)] = std::min(a, b);
    }

  private:
    std::vector<std::size_t> parent_;
};

std::vector<Placed> in_the_day(const DayClock& clock, std::span<const Recording> recordings) {
    std::vector<Placed> placed;
    for (std::size_t i = 0; i < recordings.size(); ++i) {
        const auto begin_s = day_seconds(clock, recordings[i]);
        if (!begin_s) continue;
        const Offset& offset = clock.cameras.at(recordings[i].camera);
        if (offset.confidence < sure_enough) continue;
        placed.push_back(place(recordings[i], *begin_s, slack_of(offset, recordings[i])));
        placed.back().index = i;
    }
    std::stable_sort(placed.begin(), placed.end(), [](const Placed& a, const Placed& b) {
        return (a.rally ? a.first_s : a.begin_s) < (b.rally ? b.first_s : b.begin_s);
    });
    return placed;
}

} // namespace

std::vector<int> moments(const DayClock& clock, std::span<const Recording> recordings) {
    const std::vector<Placed> placed = in_the_day(clock, recordings);
    Groups groups(placed.size());
    // Since they are in order of their first contacts, one that began long after another's last is of a later rally.
    for (std::size_t i = 0; i < placed.size(); ++i) {
        if (!placed[i].rally) continue;
        const std::string& camera = recordings[placed[i].index].camera;
        for (std::size_t j = i + 1; j < placed.size(); ++j) {
            if (!placed[j].rally) continue;
            if (placed[j].first_s > placed[i].last_s + pause_s) break;
            const bool one_camera = recordings[placed[j].index].camera == camera;
            // No camera records twice at once.
            if (one_camera && placed[j].begin_s < placed[i].end_s - placed[i].slack_s - placed[j].slack_s)
                continue;
            const double apart_s = one_camera ? restart_s : placed[i].slack_s + placed[j].slack_s + 0.1;
            if (placed[j].first_s <= placed[i].last_s + apart_s) groups.join(i, j);
        }
    }
    // Those without a contact show a rally that others heard, or answer the last one before them.
    for (std::size_t j = 0; j < placed.size(); ++j) {
        if (placed[j].rally || placed[j].several) continue;
        std::optional<std::size_t> answered;
        std::set<std::size_t> shown; // rallies that were played while it ran
        for (std::size_t i = 0; i < placed.size(); ++i) {
            if (!placed[i].rally) continue;
            const double slack_s = placed[i].slack_s + placed[j].slack_s;
            if (placed[j].begin_s > placed[i].last_s + answer_s ||
                placed[j].end_s < placed[i].first_s - slack_s)
                continue;
            if (placed[j].begin_s < placed[i].last_s - slack_s) shown.insert(groups.of(i));
            if (!answered || placed[i].last_s > placed[*answered].last_s) answered = i;
        }
        if (shown.size() > 1) continue;
        if (answered) groups.join(*answered, j);
    }
    std::vector<std::size_t> sizes(placed.size());
    for (std::size_t i = 0; i < placed.size(); ++i)
        ++sizes[groups.of(i)];
    std::vector<int> numbers(placed.size(), -1), moment(recordings.size(), -1);
    int next = 0;
    for (std::size_t i = 0; i < placed.size(); ++i) {
        const std::size_t group = groups.of(i);
        if (sizes[group] < 2) continue;
        if (numbers[group] < 0) numbers[group] = next++;
        moment[placed[i].index] = numbers[group];
    }
    return moment;
}

} // namespace downball::clocks
