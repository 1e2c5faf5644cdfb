// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/model/media_info.h"
#include "downball/model/shot_log.h"
#include "downball/shotlog/log.h"

#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace downball::shotlog {

// What is wrong with the cells of a log, collected over all of its rows.
class Complaints {
  public:
    void add(int line, std::string_view column, std::string_view what);
    bool any() const { return !all_.empty(); }
    // The same complaint of several lines is made once.
    Error error(const std::string& path) const;

  private:
    std::vector<std::pair<std::string, std::vector<int>>> all_; // "column X: what", its lines
    std::map<std::string, std::size_t> at_;                     // where in all_ it stands
};

// `found "wid", expected wide, medium or tight; did you mean wide?` What is meant may also be one of `others`,
// which are not listed.
std::string unknown_word(std::string_view word, std::span<const std::string> known,
                         std::span<const std::string> others = {});

// What may stand between the words of a list, as blanks do.
inline constexpr std::string_view list_signs = ",;/+";
std::vector<std::string> list_words(std::string_view cell);

// "12.480" or "12.480:0.93"; "-" alone gives none. In order, each instant once. Errors say what is wrong with
// the cell.
Result<std::vector<WrittenContact>> parse_contacts(std::string_view cell);

// A cell of numbers with points for decimal commas, which may stand there where no comma separates the cells.
std::string with_points(std::string_view cell, char separator);

// What the table has between whole and tenth: a comma where ';' separates the cells, as spreadsheets of
// countries with decimal commas write it; else, save where commas separate, what its numbers show.
char decimal_sign(const text::CsvTable& table);

// True if a cell has one of the forms that instant_s takes: "12.5", "312f", "01:02:03:04".
bool is_instant(std::string_view cell);

// The instant in media seconds. A frame is the instant its picture is first shown; a label counts from the
// file's start label, over midnight if need be, or from zero if it has none. Errors: a frame the file does
// not have, a label that its rate cannot count.
Result<double> instant_s(std::string_view cell, const MediaInfo& media);

} // namespace downball::shotlog
