// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "cli/options.h"
#include "cli/terminal.h"

#include <stop_token>

namespace downball::cli {

// Carries the command out, prints its results, and returns the exit status: 0 done, 1 our fault, 2 usage,
// 3 bad input, 4 no cut fits, 5 cannot write, 6 lists differ or break a rule, 130 interrupted.
int run(const Options& options, Terminal& terminal, std::stop_token stop);

int exit_status(Fault fault);

} // namespace downball::cli
