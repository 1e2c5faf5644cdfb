// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/base/result.h"

namespace downball {

std::string to_string(const Error& error) {
    return error.where.empty() ? error.what : error.where + ": " + error.what;
}

} // namespace downball
