// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/time/tick.h"

#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace downball {

// Something that the user should hear about before the reel is shown to anybody, and where in the reel it is.
struct Warning {
    std::string text;
    std::optional<FrameRange> at; // record frames from record start; nothing = the whole, or no place in it

    Warning(std::string words, std::optional<FrameRange> where = {}) : text(std::move(words)), at(where) {}
};

// What they say, for those who do not ask where.
inline std::vector<std::string> texts_of(const std::vector<Warning>& warnings) {
    std::vector<std::string> texts;
    for (const Warning& warning : warnings)
        texts.push_back(warning.text);
    return texts;
}

} // namespace downball
