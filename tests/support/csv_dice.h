// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "support/dice.h"

#include <string>
#include <vector>

namespace downball::test {

inline const std::string& one_of(const std::vector<std::string>& all, Dice& dice) {
    return all[static_cast<std::size_t>(dice.whole(0, static_cast<int>(all.size()) - 1))];
}

// Cells of all kinds that are hard to carry: line ends, quotes, separators, formulas, letters of two to four bytes.
inline std::string any_cell(Dice& dice) {
    static const std::vector<std::string> kinds{"",
                                                "T001",
                                                "two\nlines",
                                                "two\r\nlines",
                                                "\"",
                                                "said \"out\"",
                                                ",",
                                                "a;b",
                                                "a\tb",
                                                "\xF0\x9F\x8F\x90 \xE2\x98\x80",
                                                "\xC3\xA9t\xC3\xA9",
                                                "=HYPERLINK(\"x\")",
                                                "  =1+1",
                                                "-",
                                                "+1",
                                                "@me",
                                                " ",
                                                "12,480",
                                                "\xEF\xBB\xBF"};
    return one_of(kinds, dice);
}

// How somebody's program writes a table; written here by itself, so that text::write_csv is not its own judge.
struct CsvDialect {
    char separator = ',';
    std::string line_end = "\n";
    bool names_separator = false; // in a first line "sep=;"
    bool quote_all = false, needless_quotes = false, short_rows = false, empty_lines = false;
};

inline CsvDialect any_dialect(Dice& dice) {
    CsvDialect dialect;
    dialect.separator = ",;\t"[dice.whole(0, 2)];
    dialect.line_end = one_of({"\n", "\r\n", "\r"}, dice);
    dialect.names_separator = dice.chance(0.2);
    dialect.quote_all = dice.chance(0.2);
    dialect.needless_quotes = dice.chance(0.3);
    dialect.short_rows = dice.chance(0.3);
    dialect.empty_lines = dice.chance(0.3);
    return dialect;
}

inline void append_csv(std::string& out, const std::vector<std::string>& cells, const CsvDialect& dialect,
                       Dice& dice) {
    std::size_t count = cells.size();
    while (dialect.short_rows && count > 1 && cells[count - 1].empty() && dice.chance(0.5))
        --count;
    for (std::size_t i = 0; i < count; ++i) {
        if (i > 0) out += dialect.separator;
        const std::string& cell = cells[i];
        const bool must =
            cell.find_first_of(std::string("\"\r\n") + dialect.separator) != std::string::npos ||
            (count == 1 && cell.empty());
        if (!must && !dialect.quote_all && !(dialect.needless_quotes && dice.chance(0.3))) {
            out += cell;
            continue;
        }
        out += '"';
        for (const char c : cell)
            out += c == '"' ? "\"\"" : std::string(1, c);
        out += '"';
    }
    out += dialect.line_end;
    while (dialect.empty_lines && dice.chance(0.2))
        out += dialect.line_end;
}

inline std::string csv_of(const std::vector<std::string>& header,
                          const std::vector<std::vector<std::string>>& rows, const CsvDialect& dialect,
                          Dice& dice) {
    std::string out;
    if (dialect.names_separator) out = std::string("sep=") + dialect.separator + dialect.line_end;
    CsvDialect whole = dialect;
    whole.short_rows = false;
    append_csv(out, header, whole, dice);
    for (const auto& row : rows)
        append_csv(out, row, dialect, dice);
    // The last line end may be missing, where no short row would then look like half of one.
    if (!dialect.short_rows && !dialect.empty_lines && dice.chance(0.3))
        out.erase(out.size() - dialect.line_end.size());
    return out;
}

} // namespace downball::test
