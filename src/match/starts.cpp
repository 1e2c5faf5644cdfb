// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/match/starts.h"

#include <map>
#include <string>

namespace downball::match {

std::vector<std::optional<Start>> rally_starts(const std::vector<Take>& takes) {
    std::map<std::string, Start> moments;
    const auto said = [](const Take& take) { return take.set > 0 && take.score; };
    for (const Take& take : takes)
        if (said(take) && !take.moment.empty()) moments.emplace(take.moment, Start{take.set, *take.score});
    std::vector<std::optional<Start>> starts;
    for (const Take& take : takes) {
        const auto moment = moments.find(take.moment);
        if (said(take))
            starts.push_back(Start{take.set, *take.score});
        else if (moment != moments.end())
            starts.push_back(moment->second);
        else
            starts.emplace_back();
    }
    return starts;
}

} // namespace downball::match
