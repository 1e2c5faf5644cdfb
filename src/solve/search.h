// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "solve/cut.h"

#include "downball/base/long_work.h"

#include <optional>

namespace downball::solve {

// What the search for the best cut came to. Without a cut, `impossible` tells that there is none.
struct Found {
    std::optional<Cut> cut;
    double score = 0;
    double limit = 0;
    bool impossible = false;
    double work = 0; // put in, in rounds of the relaxation
};

struct Effort {
    bool first_is_enough = false; // stop at the first cut: only whether there is one is asked
    double scale = 1;             // of the work that is put in
};

Found search(const Setting& setting, const Effort& effort, const LongWork& work);

} // namespace downball::solve
