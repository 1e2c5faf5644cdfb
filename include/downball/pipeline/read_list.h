// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/read/compare.h"
#include "downball/read/cut_list.h"

#include <optional>
#include <string>

namespace downball::pipeline {

// An EDL or OTIO from disk, told apart by its first character; path "-" is the standard input. Errors: unreadable, over
// 256 MiB, neither of the two; see read/cut_list.h.
Result<read::CutList> read_list(const std::string& path, std::optional<Rate> rate);

struct ListPair {
    read::CutList first, second;
    std::vector<read::Difference> differences;
};

// Two lists, compared frame by frame. An EDL does not tell its rate: where the other list is an OTIO, it is read at
// that one's.
Result<ListPair> read_pair(const std::string& first, const std::string& second, std::optional<Rate> rate);

} // namespace downball::pipeline
