// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/text/csv.h"

#include <cstddef>
#include <string>
#include <string_view>

namespace downball::text {

// The byte order mark of an encoding, in it.
std::string_view byte_order_mark(Encoding encoding);

// UTF-16 without byte order mark as UTF-8. It breaks off at a surrogate without its other half and at half a
// character; `left` says how many bytes are left then.
struct FromUtf16 {
    std::string text;
    std::size_t left = 0;
};
FromUtf16 from_utf16(std::string_view bytes, Encoding encoding);

// The inverse; bytes that are no UTF-8 become U+FFFD.
std::string to_utf16(std::string_view text, Encoding encoding);

// True for what is UTF-16 by its first character, though no byte order mark says so: one of its two bytes is zero.
bool like_utf16(std::string_view bytes);

} // namespace downball::text
