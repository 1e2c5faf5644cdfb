// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <string_view>

namespace downball::read {

// What is wrong with a target_url by rule 23; empty = nothing.
std::string url_fault(std::string_view url);

// Its last part, percent-decoded; as it is written where that makes no name, empty for a folder.
std::string url_file(std::string_view url);

} // namespace downball::read
