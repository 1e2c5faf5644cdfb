// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "bench/solve/trial.h"

namespace downball::bench {

void print_head();
void print_trial(const Row& row, const Trial& trial); // as soon as it is run
void print_summary(const std::vector<std::pair<Row, std::vector<Trial>>>& all);

} // namespace downball::bench
