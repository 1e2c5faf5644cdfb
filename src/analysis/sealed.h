// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/analysis/folder.h"

#include <optional>
#include <string>
#include <string_view>

namespace downball::analysis {

// A document as text, by schemas/analysis.schema.json. It begins with a hash of its name and all the rest, so that no
// half-written or flipped byte goes unseen, nor a file that somebody gave another one's name.
std::string sealed(const Document& document, text::JsonObject found);

enum class Seal {
    whole,
    older,   // made by an earlier version of what finds
    newer,   // by a later one
    damaged, // or no document of that kind
};

struct Unsealed {
    Seal seal = Seal::damaged;
    text::Json found;
};
Unsealed unsealed(const Document& document, std::string_view text);

} // namespace downball::analysis
