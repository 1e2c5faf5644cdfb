// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "clocks/lag.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace downball::clocks {
namespace {

// A rally as it is known so far: its contacts on the first recording's time, and which number each has by now.
struct Rally {
    Recording heard;
    std::vector<std::size_t> ids; // of heard.contacts
    std::size_t next = 0;

    std::size_t add(const Contact& contact) {
        const auto at = std::upper_bound(heard.contacts.begin(), heard.contacts.end(), contact,
                                         [](const Contact& a, const Contact& b) { return a.at_s < b.at_s; });
        ids.insert(ids.begin() + (at - heard.contacts.begin()), next);
        heard.contacts.insert(at, contact);
        return next++;
    }
};

} // namespace

std::optional<std::vector<std::vector<int>>> number_contacts(const DayClock& clock,
                                                             std::span<const Recording> of_moment) {
    for (const Recording& one : of_moment) {
        if (one.contacts.empty()) continue;
        if (!day_seconds(clock, one) || clock.cameras.at(one.camera).confidence < sure_enough)
            return std::nullopt;
    }
    // The fullest first: it has most to compare with.
    std::vector<std::size_t> order(of_moment.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        return of_moment[a].contacts.size() > of_moment[b].contacts.size();
    });
    std::vector<std::vector<std::size_t>> ids(of_moment.size());
    Rally rally;
    std::optional<double> begin_s;
    double slack_s = 0;
    for (const std::size_t r : order) {
        const Recording& one = of_moment[r];
        if (one.contacts.empty()) continue;
        const double its_s = *day_seconds(clock, one);
        if (!begin_s) {
            begin_s = its_s;
            slack_s = slack_of(clock.cameras.at(one.camera), one);
            for (const Contact& contact : one.contacts)
                ids[r].push_back(rally.add(contact));
            rally.heard.real_s = one.real_s;
            continue;
        }
        const double open_s = slack_s + slack_of(clock.cameras.at(one.camera), one);
        double lag_s = its_s - *begin_s; // theirs, on the time of the rally
        const auto found = find_lags(one, rally.heard, lag_s - open_s - reach_s, lag_s + open_s + reach_s, 1);
        if (!found.empty())
            lag_s = found.front().lag_s;
        else if (open_s > reach_s)
            return std::nullopt;
        std::vector<std::optional<std::size_t>> met(one.contacts.size());
        for (const auto& [i, j] : pair_contacts(one.contacts, rally.heard.contacts, lag_s))
            met[i] = rally.ids[j];
        for (std::size_t i = 0; i < one.contacts.size(); ++i)
            ids[r].push_back(met[i] ? *met[i]
                                    : rally.add({one.contacts[i].at_s + lag_s, one.contacts[i].confidence}));
    }
    std::vector<int> place(rally.next);
    for (std::size_t n = 0; n < rally.ids.size(); ++n)
        place[rally.ids[n]] = static_cast<int>(n);
    std::vector<std::vector<int>> numbers(of_moment.size());
    for (std::size_t r = 0; r < ids.size(); ++r)
        for (const std::size_t id : ids[r])
            numbers[r].push_back(place[id]);
    return numbers;
}

} // namespace downball::clocks
