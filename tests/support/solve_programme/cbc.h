// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "support/solve_programme/program.h"
#include "support/temp_folder.h"

#include <cstdlib>
#include <fstream>
#include <sstream>

namespace downball::tests::programme {

// Source: COIN-OR CBC, branch and cut (Forrest et al., https://github.com/coin-or/Cbc), Debian package coinor-cbc.
struct Solved {
    enum { optimal, infeasible, unfinished } state = unfinished;
    std::vector<double> values; // optimal only
};

inline bool cbc_is_here() {
    return std::system("command -v cbc >/dev/null 2>&1") == 0;
}

// Most nodes, unlike most seconds, are the same on any machine.
inline Solved run_cbc(const Program& program, double most_s, int most_nodes = 1000000) {
    Solved solved;
    if (program.plainly_infeasible()) {
        solved.state = Solved::infeasible;
        return solved;
    }
    test::TempFolder folder;
    std::ofstream(folder / "cut.mps") << program.mps(1000);
    std::string command = fmt::format(
        "cbc '{}' -sec {} -maxNodes {} -ratio 0 -allow 0 -increment 0 -solve -solution '{}' >'{}' 2>&1",
        folder / "cut.mps", most_s, most_nodes, folder / "cut.sol", folder / "log");
    if (std::system(command.c_str()) != 0) return solved;
    std::ifstream file(folder / "cut.sol");
    std::string head, line;
    std::getline(file, head);
    if (head.find("nfeasible") != std::string::npos) solved.state = Solved::infeasible;
    if (head.rfind("Optimal", 0) != 0) return solved;
    solved.state = Solved::optimal;
    solved.values.assign(program.variables.size(), 0);
    while (std::getline(file, line)) { // index, name, value, reduced cost; variables at 0 are left out
        std::istringstream words(line);
        std::string index, name;
        double value = 0;
        words >> index >> name >> value;
        if (name.size() > 1 && name.front() == 'x') solved.values.at(std::stoul(name.substr(1))) = value;
    }
    return solved;
}

} // namespace downball::tests::programme
