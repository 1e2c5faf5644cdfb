// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/model/timeline.h"
#include "downball/text/html.h"
#include "downball/time/tick.h"

#include <fmt/format.h>
#include <string>
#include <string_view>

namespace downball::page {

// Between tags or in quoted attributes.
inline std::string esc(std::string_view text) {
    return text::html_escaped(text);
}

// Words of the user's: their direction of writing does not turn what stands around them.
inline std::string own_words(std::string_view text) {
    return "<bdi>" + esc(text) + "</bdi>";
}

// Per cent of the whole reel, as CSS and SVG want it: "12.3457".
std::string percent(Frame at, Frame length);

} // namespace downball::page
