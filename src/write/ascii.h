// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <string_view>

namespace downball::write {

// UTF-8 as plain ASCII for the lines of an EDL: accents go, ß becomes ss and Æ AE, typographic quotes and
// dashes their typewriter forms, control characters a blank, anything else one underscore a character.
// ASCII stays as it is.
std::string to_ascii(std::string_view utf8);

} // namespace downball::write
