// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"

#include <string>
#include <string_view>
#include <vector>

namespace downball::text {

// A row of a CSV text, and how it stood there.
struct Record {
    std::vector<std::string> cells;
    std::vector<bool> quoted; // of each cell
    int line = 0;
    std::string before, end; // empty lines ahead of it; its line end
};

struct Records {
    std::vector<Record> all;
    std::string tail; // empty lines behind the last
};

// RFC 4180 with that separator. `first_line` is the number of the text's first line in the file. Errors as
// read_csv.
Result<Records> read_records(std::string_view text, char separator, int first_line, const std::string& name);

} // namespace downball::text
