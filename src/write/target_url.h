// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/write/otio.h"

#include <string>
#include <string_view>

namespace downball::write {

// Bytes other than letters, digits and -._~/ as %XX (RFC 3986; UTF-8 byte by byte).
std::string percent_encoded(std::string_view path);

// Where the editor finds a file: relative to options.folder without "./", or file:///... A path under
// media_root.first is spelled as it is on the editor's machine: "D:\cards" gives file:///D:/cards/...,
// "//host/share" file://host/share/... Errors: a relative path where an absolute one is needed.
Result<std::string> target_url(const std::string& path, const OtioOptions& options);

} // namespace downball::write
