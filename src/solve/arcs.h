// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "solve/cut.h"

#include <vector>

namespace downball::solve {

// A step from a shot that hangs on one slot to the next shot's slot, before leads are chosen. `need` and
// `cap` bound the record frames between this slot and the shot's out over all leads that could be chosen, so
// that a step which some cut takes is never missing.
struct Arc {
    std::size_t to = 0;     // slot; number of slots = the end of the cut
    bool to_action = false; // the next shot hangs by its contact
    std::int64_t need = 0, cap = 0;
    std::int64_t opening_lead = -1;      // of the opening action, which is known; otherwise below 0
    double share = 0;                    // of the cut's length
    double pace_real = 0, pace_slow = 0; // weighted
};

struct Arcs {
    std::vector<std::vector<Arc>> action, plain;             // by slot, for a shot of that sort
    std::vector<std::vector<Arc>> first_action, first_plain; // for the opening shot, which spans from 0

    const std::vector<Arc>& of(std::size_t slot, bool is_action, bool first) const {
        return first ? (is_action ? first_action : first_plain)[slot] : (is_action ? action : plain)[slot];
    }
};

Arcs make_arcs(const Setting& setting, const std::vector<Pin>& pins);

} // namespace downball::solve
