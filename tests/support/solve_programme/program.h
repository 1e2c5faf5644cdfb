// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <fmt/format.h>
#include <map>
#include <string>
#include <utility>
#include <vector>

namespace downball::tests::programme {

using Sum = std::vector<std::pair<std::size_t, double>>; // variable and its factor

// A mixed-integer linear programme: maximise, variables from 0 to 1.
struct Program {
    struct Variable {
        double gain = 0;
        bool whole = true;
    };
    struct Row {
        char sense = 'L'; // L <=, G >=, E =
        double right = 0;
        Sum left;
    };
    std::vector<Variable> variables;
    std::vector<Row> rows;

    std::size_t variable(double gain, bool whole) {
        variables.push_back({gain, whole});
        return variables.size() - 1;
    }
    void row(Sum left, char sense, double right) { rows.push_back({sense, right, std::move(left)}); }

    // A row that nothing can change and that does not hold.
    bool plainly_infeasible() const {
        for (const Row& row : rows)
            if (row.left.empty() &&
                ((row.sense != 'L' && row.right > 0) || (row.sense != 'G' && row.right < 0)))
                return true;
        return false;
    }

    // Free MPS, as minimum of -scale x gain: a solver stops at differences that are small in themselves, so the scale is large.
    std::string mps(double scale) const {
        std::vector<Sum> columns(variables.size());
        std::string text = "NAME cut FREE\nROWS\n N gain\n";
        for (std::size_t r = 0; r < rows.size(); ++r) {
            text += fmt::format(" {} r{}\n", rows[r].sense, r);
            std::map<std::size_t, double> factors; // each variable once a row
            for (auto [variable, factor] : rows[r].left)
                factors[variable] += factor;
            for (auto [variable, factor] : factors)
                if (factor != 0) columns[variable].push_back({r, factor});
        }
        text += "COLUMNS\n";
        for (std::size_t v = 0; v < variables.size(); ++v) {
            text += fmt::format(" x{} gain {:.17g}\n", v, -scale * variables[v].gain);
            for (auto [r, factor] : columns[v])
                text += fmt::format(" x{} r{} {:.17g}\n", v, r, factor);
        }
        text += "RHS\n";
        for (std::size_t r = 0; r < rows.size(); ++r)
            if (rows[r].right != 0) text += fmt::format(" RHS r{} {:.17g}\n", r, rows[r].right);
        text += "BOUNDS\n";
        for (std::size_t v = 0; v < variables.size(); ++v)
            text += variables[v].whole ? fmt::format(" BV BND x{}\n", v) : fmt::format(" UP BND x{} 1\n", v);
        return text + "ENDATA\n";
    }
};

} // namespace downball::tests::programme
