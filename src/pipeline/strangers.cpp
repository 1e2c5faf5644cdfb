// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/strangers.h"

#include "downball/base/notes.h"
#include "downball/base/text.h"

#include <algorithm>
#include <fmt/format.h>

namespace downball::pipeline {

std::vector<std::string> strangers(const Variety& variety, const ShotLog& log) {
    std::vector<std::string> known;
    for (const Take& take : log.takes)
        for (const std::string& player : take.players)
            if (std::ranges::find(known, player) == known.end()) known.push_back(player);
    std::vector<std::string> sentences;
    for (const auto& [player, bounds] : variety.players) {
        if (std::ranges::find(known, player) != known.end()) continue;
        const auto near = nearest_word(player, known);
        constexpr std::size_t most = 12;
        sentences.push_back(fmt::format("no row of the log has the player {} of variety.players; {}", player,
                                        near            ? fmt::format("did you mean {}?", *near)
                                        : known.empty() ? "the column players is empty"
                                                        : "the log has " + some_of(known, most)));
    }
    return sentences;
}

} // namespace downball::pipeline
