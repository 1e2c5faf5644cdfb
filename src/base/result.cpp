// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/base/result.h"

namespace downball {

std::string to_string(const Error& error) {
    if (error.where.empty()) return error.what;
    std::string text = error.where + ": ";
    for (const char c : error.what)
        text += c == '\n' ? std::string("\n  ") : std::string(1, c); // so that it shows what belongs together
    return text;
}

} // namespace downball
