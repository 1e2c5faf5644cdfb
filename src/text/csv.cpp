// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/text/csv.h"

#include "text/csv_records.h"
#include "text/utf16.h"

#include "downball/base/notes.h"
#include "downball/base/text.h"

#include <algorithm>
#include <fmt/format.h>

namespace downball::text {
namespace {

// The sign that stands most often in the header outside quotes; a comma if none does.
char separator_of(std::string_view text) {
    std::size_t counts[3] = {0, 0, 0};
    constexpr std::string_view signs = ",;\t";
    bool quoted = false, begun = false;
    for (const char c : text) {
        if (c == '"') quoted = !quoted;
        if (quoted) continue;
        const bool ends = c == '\n' || c == '\r';
        if (ends && begun) break;
        begun = begun || !ends;
        if (const std::size_t which = signs.find(c); which != std::string_view::npos) ++counts[which];
    }
    return signs[static_cast<std::size_t>(std::max_element(std::begin(counts), std::end(counts)) - counts)];
}

Error bad(const std::string& name, int line, std::string what) {
    return {Fault::bad_input, std::move(what), fmt::format("{}:{}", name, line)};
}

std::string column_key(std::string_view name) {
    return lower(trim(name));
}

bool needs_quotes(std::string_view cell, char separator) {
    return cell.find_first_of("\"\r\n") != std::string_view::npos ||
           cell.find(separator) != std::string_view::npos;
}

int lines_in(std::string_view text) {
    return static_cast<int>(std::count(text.begin(), text.end(), '\n'));
}

// Takes encoding and byte order mark off the bytes of a file: what is left is UTF-8.
Result<std::string> decode(std::string_view bytes, CsvTable& table, const std::string& name) {
    for (const Encoding encoding : {Encoding::utf8, Encoding::utf16_le, Encoding::utf16_be}) {
        if (!bytes.starts_with(byte_order_mark(encoding))) continue;
        table.encoding = encoding;
        table.bom = true;
        bytes.remove_prefix(byte_order_mark(encoding).size());
        break;
    }
    if (table.encoding != Encoding::utf8) {
        FromUtf16 converted = from_utf16(bytes, table.encoding);
        if (converted.left > 0)
            return bad(name, lines_in(converted.text) + 1,
                       converted.left == 1 ? "found half a character of UTF-16 at the end of an odd number "
                                             "of bytes; the file is cut "
                                             "off or changed on its way, save the table again"
                                           : "found half a surrogate pair, which is no UTF-16; save the "
                                             "table again, as \"CSV UTF-8\" "
                                             "or \"Unicode text\"");
        return std::move(converted.text);
    }
    if (!table.bom && like_utf16(bytes))
        return bad(
            name, 1,
            "found UTF-16 without its byte order mark; save the table as \"CSV UTF-8\" or \"Unicode text\"");
    return std::string(bytes);
}

Result<void> check_text(std::string_view text, const std::string& name) {
    int line = 1;
    for (std::string_view rest = text; !rest.empty(); ++line) {
        const std::size_t end = std::min(rest.find('\n'), rest.size() - 1);
        if (!valid_utf8(rest.substr(0, end + 1)))
            return bad(name, line, "found bytes that are no UTF-8; save the table as \"CSV UTF-8\"");
        if (rest.substr(0, end + 1).find('\0') != std::string_view::npos)
            return bad(name, line, "found a zero byte; this is no CSV text");
        rest.remove_prefix(end + 1);
    }
    return {};
}

// A first line that is no row: some spreadsheets say "sep=;" in it, and some write the sign once for each column.
// Gives its length with its line end, or 0.
std::size_t preamble_length(std::string_view text, char& separator) {
    const std::size_t end = std::min(text.find_first_of("\r\n"), text.size());
    std::string_view line = text.substr(0, end);
    if (line.size() >= 2 && line.front() == '"' && line.back() == '"') line = line.substr(1, line.size() - 2);
    constexpr std::string_view says = "sep=", known = ",;\t|:";
    if (lower(line.substr(0, says.size())) != says || line.size() == says.size()) return 0;
    const char sign = line[says.size()];
    if (line.find_first_not_of(sign, says.size()) != std::string_view::npos ||
        known.find(sign) == std::string_view::npos)
        return 0;
    separator = sign;
    return std::min(end + (text.substr(end).starts_with("\r\n") ? 2 : 1), text.size());
}

// What write_csv cannot know from the cells of a record; nothing where it would write the same bytes.
std::optional<RowForm> form_of(const Record& record, std::size_t columns, const CsvTable& table) {
    RowForm form;
    form.before = record.before;
    if (record.cells.size() != columns) form.cells = record.cells.size();
    if (record.end != table.line_end) form.end = record.end;
    for (std::size_t i = 0; i < record.cells.size(); ++i)
        if (record.quoted[i] && !needs_quotes(record.cells[i], table.separator)) form.quoted = record.quoted;
    if (form.before.empty() && form.cells == 0 && form.quoted.empty() && !form.end) return std::nullopt;
    return form;
}

Result<void> check_header(const CsvTable& table, int line, const std::string& name) {
    for (std::size_t i = 0; i < table.header.size(); ++i) {
        if (!column_key(table.header[i]).empty() && table.column(table.header[i]) != static_cast<int>(i))
            return bad(
                name, line,
                fmt::format("the column \"{}\" stands twice; rename or remove one", trim(table.header[i])));
    }
    return {};
}

bool too_long(const Record& record, std::size_t columns) {
    return std::any_of(record.cells.begin() +
                           static_cast<std::ptrdiff_t>(std::min(columns, record.cells.size())),
                       record.cells.end(), [](const std::string& cell) { return !trim(cell).empty(); });
}

Result<void> check_lengths(const std::vector<Record>& records, const CsvTable& table,
                           const std::string& name) {
    const std::size_t columns = table.header.size();
    const Record* first = nullptr;
    std::vector<std::string> others;
    for (const Record& record : records) {
        if (!too_long(record, columns)) continue;
        if (first)
            others.push_back(std::to_string(record.line));
        else
            first = &record;
    }
    if (first)
        return bad(
            name, first->line,
            fmt::format("found {} cells, expected at most {} as in the header; a cell with a '{}' in it "
                        "stands in quotes{}",
                        first->cells.size(), columns,
                        table.separator == '\t' ? "tab" : std::string(1, table.separator),
                        others.empty() ? ""
                                       : fmt::format("; likewise in line{} {}", others.size() == 1 ? "" : "s",
                                                     some_of(others))));
    const auto full = [&](const Record& record) { return record.cells.size() >= columns; };
    const auto blank = [](const Record& record) {
        return std::ranges::all_of(record.cells, [](const std::string& cell) { return trim(cell).empty(); });
    };
    const Record& last = records.back();
    // The header is a row before as well, but alone it tells nothing: hand-written rows may be short.
    if (records.size() > 2 && last.end.empty() && !full(last) && !blank(last) &&
        std::all_of(records.begin(), records.end() - 1, full))
        return bad(
            name, last.line,
            fmt::format(
                "the file ends in the middle of this row: found {} of {} cells and no line end, and all "
                "rows before are whole; it looks half-written: save the table again, or end the row "
                "with a line end if it shall be short",
                last.cells.size(), columns));
    return {};
}

void append_row(std::string& out, const std::vector<std::string>& cells, const RowForm* form,
                const CsvTable& table, bool last) {
    std::size_t count = cells.size();
    if (form) {
        out += form->before;
        if (form->cells > count) count = form->cells;
        const bool short_still =
            form->cells > 0 && form->cells < cells.size() &&
            std::all_of(cells.begin() + static_cast<std::ptrdiff_t>(form->cells), cells.end(),
                        [](const std::string& cell) { return cell.empty(); });
        if (short_still) count = form->cells;
    }
    static const std::string nothing;
    for (std::size_t i = 0; i < count; ++i) {
        if (i > 0) out += table.separator;
        const std::string& cell = i < cells.size() ? cells[i] : nothing;
        const bool came_quoted = form && i < form->quoted.size() && form->quoted[i];
        // A lone empty cell would read back as an empty line, and be passed over.
        if (!came_quoted && !needs_quotes(cell, table.separator) && !(count == 1 && cell.empty())) {
            out += cell;
            continue;
        }
        out += '"';
        for (const char c : cell) {
            if (c == '"') out += c;
            out += c;
        }
        out += '"';
    }
    // Only the last row of a file can do without a line end.
    out += form && form->end && (last || !form->end->empty()) ? *form->end : table.line_end;
}

} // namespace

int CsvTable::column(std::string_view name) const {
    const std::string key = column_key(name);
    for (std::size_t i = 0; i < header.size(); ++i) {
        if (column_key(header[i]) == key) return static_cast<int>(i);
    }
    return -1;
}

Columns::Columns(const CsvTable& table) {
    for (std::size_t i = 0; i < table.header.size(); ++i)
        at_.emplace(column_key(table.header[i]), static_cast<int>(i));
}

int Columns::operator()(std::string_view lower_case_name) const {
    const auto found = at_.find(lower_case_name);
    return found == at_.end() ? -1 : found->second;
}

Result<CsvTable> read_csv(std::string_view bytes, const std::string& name) {
    CsvTable table;
    const auto decoded = decode(bytes, table, name);
    if (!decoded) return decoded.error();
    std::string_view text = *decoded;
    if (auto checked = check_text(text, name); !checked) return checked.error();
    char said = '\0';
    table.preamble = text.substr(0, preamble_length(text, said));
    text.remove_prefix(table.preamble.size());
    table.separator = said != '\0' ? said : separator_of(text);

    auto read = read_records(text, table.separator, table.preamble.empty() ? 1 : 2, name);
    if (!read) return read.error();
    std::vector<Record>& records = read->all;
    if (records.empty())
        return bad(name, 1, "the table is empty; expected a first line with the names of the columns");
    if (!records.front().end.empty()) table.line_end = records.front().end;
    table.header = records.front().cells;
    const std::size_t columns = table.header.size();
    if (auto form = form_of(records.front(), columns, table)) table.header_form = std::move(*form);
    if (auto checked = check_header(table, records.front().line, name); !checked) return checked.error();
    if (auto checked = check_lengths(records, table, name); !checked) return checked.error();
    for (std::size_t i = 1; i < records.size(); ++i) {
        Record& record = records[i];
        if (auto form = form_of(record, columns, table))
            table.forms.emplace_hint(table.forms.end(), record.line, *form);
        record.cells.resize(columns);
        table.rows.push_back(std::move(record.cells));
        table.lines.push_back(record.line);
    }
    table.tail = std::move(read->tail);
    return table;
}

std::string write_csv(const CsvTable& table) {
    std::string out = table.preamble;
    append_row(out, table.header, &table.header_form, table, table.rows.empty());
    for (std::size_t i = 0; i < table.rows.size(); ++i) {
        const auto form = i < table.lines.size() ? table.forms.find(table.lines[i]) : table.forms.end();
        append_row(out, table.rows[i], form == table.forms.end() ? nullptr : &form->second, table,
                   i + 1 == table.rows.size());
    }
    out += table.tail;
    if (table.encoding != Encoding::utf8) out = to_utf16(out, table.encoding);
    return table.bom ? std::string(byte_order_mark(table.encoding)) + out : out;
}

} // namespace downball::text
