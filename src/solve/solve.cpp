// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/solve/solve.h"

#include "solve/diagnose.h"
#include "solve/search.h"

namespace downball::solve {

Outcome solve(const Problem& problem, const LongWork& work) {
    Setting setting = make_setting(problem);
    if (auto conflict = plain_conflict(setting)) return *conflict;
    Found found = search(setting, {}, work);
    if (!found.cut) {
        if (work.stop_asked()) return Conflict{{"stopped before a cut was found"}, {"run again"}, false};
        return conflict_by_search(problem, found.impossible, work);
    }
    CutPlan plan = to_plan(setting, *found.cut);
    plan.limit = std::max(found.limit, plan.score);
    return plan;
}

} // namespace downball::solve
