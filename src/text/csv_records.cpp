// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "text/csv_records.h"

#include "downball/base/text.h"

#include <csv.h>
#include <fmt/format.h>

namespace downball::text {
namespace {

bool ends_line(char c) {
    return c == '\r' || c == '\n';
}

// Splits the line ends between two rows: the first belongs to the row before.
std::string take_first_end(std::string& ends) {
    std::string first = ends.substr(0, ends.starts_with("\r\n") ? 2 : 1);
    ends.erase(0, first.size());
    return first;
}

// libcsv, fed a byte at a time, with what it does not tell counted beside it: lines, quotes and line ends.
class Reader {
  public:
    Reader(std::string_view text, char separator, int first_line, const std::string& name)
        : text_(text), name_(name), line_(first_line) {
        csv_init(&parser_, CSV_STRICT | CSV_STRICT_FINI);
        csv_set_delim(&parser_, static_cast<unsigned char>(separator));
        // Blanks belong to the cell (RFC 4180, section 2, rule 4); the library would strip them.
        csv_set_space_func(&parser_, [](unsigned char) { return 0; });
    }
    Reader(const Reader&) = delete;
    Reader& operator=(const Reader&) = delete;
    ~Reader() { csv_free(&parser_); }

    Result<Records> read() {
        char last = '\0';
        for (const char c : text_) {
            if (last == '\n' || (last == '\r' && c != '\n')) ++line_; // a lone CR ends a line too
            last = c;
            if (!in_row_ && !ends_line(c)) begin_row();
            if (at_cell_ && in_row_) begin_cell(c == '"');
            if (csv_parse(&parser_, &c, 1, on_cell, on_row, this) != 1) return trouble();
            if (!in_row_) ends_ += c;
        }
        if (csv_fini(&parser_, on_cell, on_row, this) != 0) return never_closed();
        if (!ends_.empty() && !records_.all.empty()) records_.all.back().end = take_first_end(ends_);
        records_.tail = std::move(ends_);
        return std::move(records_);
    }

  private:
    static void on_cell(void* text, std::size_t length, void* self) {
        auto& reader = *static_cast<Reader*>(self);
        // A text that ends behind a separator has one more cell, of which there is no byte.
        if (reader.at_cell_) reader.begin_cell(false);
        reader.row_.cells.emplace_back(static_cast<const char*>(text), length);
        reader.at_cell_ = true;
    }

    static void on_row(int, void* self) {
        auto& reader = *static_cast<Reader*>(self);
        reader.records_.all.push_back(std::move(reader.row_));
        reader.row_ = {};
        reader.in_row_ = false;
    }

    void begin_row() {
        in_row_ = true;
        row_.line = line_;
        if (!records_.all.empty()) records_.all.back().end = take_first_end(ends_);
        row_.before = std::move(ends_);
        ends_.clear();
    }

    void begin_cell(bool quoted) {
        at_cell_ = false;
        cell_line_ = line_;
        row_.quoted.push_back(quoted);
    }

    std::string column() const {
        const std::size_t at = row_.cells.size();
        if (records_.all.empty() || at >= records_.all.front().cells.size()) return {};
        return fmt::format(" (in column {})", trim(records_.all.front().cells[at]));
    }

    Error bad(int line, std::string what) const {
        return {Fault::bad_input, std::move(what), fmt::format("{}:{}", name_, line)};
    }

    Error never_closed() const {
        return bad(
            cell_line_,
            fmt::format("a quote is opened here{} and never closed; expected a second \" at the end of "
                        "the cell (a quote inside a cell is written twice); if only half of the file "
                        "was written, save it again",
                        column()));
    }

    Error trouble() const {
        if (csv_error(const_cast<csv_parser*>(&parser_)) == CSV_ENOMEM) return bad(line_, "out of memory");
        const std::string since =
            cell_line_ == line_
                ? ""
                : fmt::format("; this cell began in line {}, where its second quote may be missing",
                              cell_line_);
        return bad(line_,
                   fmt::format("a quote stands inside a cell that is not quoted, or text follows a closing "
                               "quote{}; put the whole cell in quotes and write a quote inside it twice{}",
                               column(), since));
    }

    std::string_view text_;
    const std::string& name_;
    csv_parser parser_{};
    Records records_;
    Record row_;
    std::string ends_; // line ends since the last row
    bool in_row_ = false, at_cell_ = true;
    int line_;
    int cell_line_ = 1; // where the last cell began
};

} // namespace

Result<Records> read_records(std::string_view text, char separator, int first_line, const std::string& name) {
    return Reader(text, separator, first_line, name).read();
}

} // namespace downball::text
