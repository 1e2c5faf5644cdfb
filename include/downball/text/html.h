// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <string_view>

namespace downball::text {

// Text as it stands in HTML, between tags or inside quoted attributes. What HTML forbids (control characters, bytes
// that are no UTF-8) becomes U+FFFD.
std::string html_escaped(std::string_view text);

// The bytes in base64, RFC 4648 section 4.
std::string base64(std::string_view bytes);

} // namespace downball::text
