// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/text/csv.h"

#include "downball/base/text.h"

#include <algorithm>
#include <csv.h>
#include <fmt/format.h>

namespace downball::text {
namespace {

constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";

// The sign that stands most often in the header outside quotes; a comma if none does.
char separator_of(std::string_view text) {
    std::size_t counts[3] = {0, 0, 0};
    constexpr std::string_view signs = ",;\t";
    bool quoted = false;
    for (const char c : text) {
        if (c == '"') quoted = !quoted;
        if (quoted) continue;
        if (c == '\n' || c == '\r') break;
        if (const std::size_t which = signs.find(c); which != std::string_view::npos) ++counts[which];
    }
    return signs[static_cast<std::size_t>(std::max_element(std::begin(counts), std::end(counts)) - counts)];
}

Error bad(const std::string& name, int line, std::string what) {
    return {Fault::bad_input, std::move(what), fmt::format("{}:{}", name, line)};
}

struct Record {
    std::vector<std::string> cells;
    int line = 0;
};

// libcsv with the lines counted beside it: it is fed a byte at a time, and the line of a record is the line
// of its first byte.
class Records {
  public:
    Records(std::string_view text, char separator) : text_(text) {
        csv_init(&parser_, CSV_STRICT | CSV_STRICT_FINI);
        csv_set_delim(&parser_, static_cast<unsigned char>(separator));
        // Blanks belong to the cell (RFC 4180, section 2, rule 4); the library would strip them.
        csv_set_space_func(&parser_, [](unsigned char) { return 0; });
    }
    Records(const Records&) = delete;
    Records& operator=(const Records&) = delete;
    ~Records() { csv_free(&parser_); }

    Result<std::vector<Record>> read(const std::string& name) {
        char last = '\0';
        for (const char c : text_) {
            if (last == '\n' || (last == '\r' && c != '\n')) ++line_; // a lone CR ends a line too
            last = c;
            if (row_line_ == 0 && c != '\r' && c != '\n') row_line_ = line_;
            if (csv_parse(&parser_, &c, 1, on_cell, on_row, this) != 1) return bad(name, line_, trouble());
            if (c == '"') quote_line_ = line_;
        }
        if (csv_fini(&parser_, on_cell, on_row, this) != 0)
            return bad(name, quote_line_,
                       "a quote is opened here and never closed; expected a second \" at the end of the cell "
                       "(a quote inside a cell is written twice)");
        return std::move(records_);
    }

  private:
    static void on_cell(void* text, std::size_t length, void* self) {
        static_cast<Records*>(self)->cells_.emplace_back(static_cast<const char*>(text), length);
    }

    static void on_row(int, void* self) {
        auto& records = *static_cast<Records*>(self);
        records.records_.push_back({std::move(records.cells_), std::max(records.row_line_, 1)});
        records.cells_.clear();
        records.row_line_ = 0;
    }

    std::string trouble() const {
        if (csv_error(const_cast<csv_parser*>(&parser_)) == CSV_ENOMEM) return "out of memory";
        return "a quote stands inside a cell that is not quoted, or text follows a closing quote; put the "
               "whole cell in quotes and write a quote inside it twice";
    }

    std::string_view text_;
    csv_parser parser_{};
    std::vector<Record> records_;
    std::vector<std::string> cells_;
    int line_ = 1;
    int row_line_ = 0;
    int quote_line_ = 1;
};

std::string column_key(std::string_view name) {
    return lower(trim(name));
}

bool needs_quotes(std::string_view cell, char separator) {
    return cell.find_first_of("\"\r\n") != std::string_view::npos ||
           cell.find(separator) != std::string_view::npos;
}

void append_row(std::string& out, const std::vector<std::string>& cells, char separator, bool crlf) {
    for (std::size_t i = 0; i < cells.size(); ++i) {
        if (i > 0) out += separator;
        // A lone empty cell would read back as an empty line, and be passed over.
        if (!needs_quotes(cells[i], separator) && !(cells.size() == 1 && cells[i].empty())) {
            out += cells[i];
            continue;
        }
        out += '"';
        for (const char c : cells[i])
            out += c == '"' ? std::string("\"\"") : std::string(1, c);
        out += '"';
    }
    out += crlf ? "\r\n" : "\n";
}

} // namespace

int CsvTable::column(std::string_view name) const {
    for (std::size_t i = 0; i < header.size(); ++i) {
        if (column_key(header[i]) == column_key(name)) return static_cast<int>(i);
    }
    return -1;
}

Result<CsvTable> read_csv(std::string_view text, const std::string& name) {
    CsvTable table;
    if (text.starts_with(byte_order_mark)) {
        table.bom = true;
        text.remove_prefix(byte_order_mark.size());
    }
    int line = 1;
    for (std::string_view rest = text; !rest.empty(); ++line) {
        const std::size_t end = std::min(rest.find('\n'), rest.size() - 1);
        if (!valid_utf8(rest.substr(0, end + 1)))
            return bad(name, line, "found bytes that are no UTF-8; save the table as \"CSV UTF-8\"");
        if (rest.substr(0, end + 1).find('\0') != std::string_view::npos)
            return bad(name, line, "found a zero byte; this is no CSV text");
        rest.remove_prefix(end + 1);
    }
    const std::size_t first_end = text.find('\n');
    table.crlf = first_end != std::string_view::npos && first_end > 0 && text[first_end - 1] == '\r';
    table.separator = separator_of(text);

    auto records = Records(text, table.separator).read(name);
    if (!records) return records.error();
    if (records->empty())
        return bad(name, 1, "the table is empty; expected a first line with the names of the columns");
    table.header = std::move(records->front().cells);
    for (std::size_t i = 0; i < table.header.size(); ++i) {
        if (!column_key(table.header[i]).empty() && table.column(table.header[i]) != static_cast<int>(i))
            return bad(
                name, records->front().line,
                fmt::format("the column \"{}\" stands twice; rename or remove one", trim(table.header[i])));
    }
    for (std::size_t i = 1; i < records->size(); ++i) {
        Record& record = (*records)[i];
        if (record.cells.size() > table.header.size())
            return bad(
                name, record.line,
                fmt::format("found {} cells, expected at most {} as in the header; a cell with a '{}' in it "
                            "stands in quotes",
                            record.cells.size(), table.header.size(),
                            table.separator == '\t' ? "tab" : std::string(1, table.separator)));
        record.cells.resize(table.header.size());
        table.rows.push_back(std::move(record.cells));
        table.lines.push_back(record.line);
    }
    return table;
}

std::string write_csv(const CsvTable& table) {
    std::string out;
    if (table.bom) out += byte_order_mark;
    append_row(out, table.header, table.separator, table.crlf);
    for (const auto& row : table.rows)
        append_row(out, row, table.separator, table.crlf);
    return out;
}

} // namespace downball::text
