// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "support/catch.h"

#include "downball/text/csv.h"

#include <string>
#include <string_view>

namespace downball::tests {

inline text::CsvTable table_of(std::string_view text) {
    const auto table = text::read_csv(text, "log.csv");
    if (!table) FAIL(to_string(table.error()));
    return *table;
}

inline std::string error_of(std::string_view text) {
    const auto table = text::read_csv(text, "log.csv");
    REQUIRE_FALSE(table);
    CHECK(table.error().fault == Fault::bad_input);
    return to_string(table.error());
}

} // namespace downball::tests
