// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"

#include <cstddef>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace downball::text {

// UTF-16 is what spreadsheets call "Unicode text".
enum class Encoding { utf8, utf16_le, utf16_be };

// How a row stood in its file, as far as its cells do not tell.
struct RowForm {
    std::string before;             // empty lines ahead of it
    std::size_t cells = 0;          // how many there were, 0 = as many as the header has
    std::vector<bool> quoted;       // cells that came in quotes; empty = those that need them
    std::optional<std::string> end; // its line end, where it is not the table's; "" at the end of the file
};

// A table as it stands in a file, in the form it came, so that writing it again gives a spreadsheet what it
// had: an untouched table is written byte for byte.
struct CsvTable {
    std::vector<std::string> header;            // all text is UTF-8 here, whatever the encoding of the file
    std::vector<std::vector<std::string>> rows; // each as long as the header
    std::vector<int> lines;                     // line in the file at which each row began; 0 = new
    char separator = ',';
    Encoding encoding = Encoding::utf8;
    bool bom = false;
    std::string line_end = "\n";
    std::string preamble; // a first line like "sep=;" with its line end; or empty
    RowForm header_form;
    std::map<int, RowForm> forms; // by line: of rows that would otherwise be written in other bytes
    std::string tail;             // empty lines behind the last row

    // Index of a column by its name (case and outer blanks ignored), or -1.
    int column(std::string_view name) const;
};

// The columns of a table by name, for those who ask row by row: CsvTable::column, looked up once.
class Columns {
  public:
    explicit Columns(const CsvTable& table);
    int operator()(std::string_view lower_case_name) const;

  private:
    std::map<std::string, int, std::less<>> at_;
};

// RFC 4180 in UTF-8, or in UTF-16 with its byte order mark; also ';' or tab as the separator, found from the
// header, or what a first line "sep=;" says. Empty lines are passed over, rows shorter than the header are
// filled up with empty cells, and empty cells past its end left away.
// Errors: Fault::bad_input with where = "name:line" for a quote that is never closed, rows longer than the
// header, a name that stands twice in the header, no header, bytes that are no UTF-8 or UTF-16, and a last row
// that was written by halves: shorter than all the others, and without a line end.
Result<CsvTable> read_csv(std::string_view text, const std::string& name);

// The inverse, in the form the table came. New and other cells are quoted where RFC 4180 asks for it.
std::string write_csv(const CsvTable& table);

} // namespace downball::text
