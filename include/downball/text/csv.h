// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"

#include <string>
#include <string_view>
#include <vector>

namespace downball::text {

// A table as it stands in a file, in the form it came: separator, BOM, line end and encoding are kept, so
// that writing it again gives a spreadsheet what it had.
struct CsvTable {
    std::vector<std::string> header;
    std::vector<std::vector<std::string>> rows; // each as long as the header
    std::vector<int> lines;                     // line in the file at which each row began; 0 = new
    char separator = ',';
    bool bom = false;
    bool crlf = false;

    // Index of a column by its name (case and outer blanks ignored), or -1.
    int column(std::string_view name) const;
};

// RFC 4180 in UTF-8; also ';' or tab as the separator, found from the header. Empty lines are passed over,
// rows shorter than the header are filled up with empty cells. Line ends of CR alone are written as LF.
// Errors: Fault::bad_input with where = "name:line" for a quote that is never closed, a row longer than the
// header, a name that stands twice in the header, no header, bytes that are no UTF-8.
Result<CsvTable> read_csv(std::string_view text, const std::string& name);

// The inverse: cells are quoted only where RFC 4180 asks for it.
std::string write_csv(const CsvTable& table);

} // namespace downball::text
