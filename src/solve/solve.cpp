// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/solve/solve.h"

#include "solve/diagnose.h"
#include "solve/search.h"

namespace downball::solve {

const char* const nothing_found =
    "nothing that could be tried in the time allowed: loosen several of these limits at once";

namespace {

// The wish to stay near to the last cut may lead a search astray that has hardly any cut to find: without it, once
// more.
void search_afresh(const Problem& problem, const Setting& setting, Found& found, const LongWork& work) {
    Problem fresh = problem;
    fresh.last = nullptr;
    const Found other = search(make_setting(fresh), {}, work);
    found.impossible = other.impossible;
    if (!other.cut) return;
    found.cut = other.cut;
    found.score = cut_score(setting, *found.cut);
}

} // namespace

Outcome solve(const Problem& problem, const LongWork& work) {
    Setting setting = make_setting(problem);
    if (auto plain = plain_conflict(setting)) {
        if (!plain->movable) return plain->conflict;
        auto remedies = remedies_by_search(problem, work);
        auto& all = plain->conflict.remedies;
        all.insert(all.begin(), remedies.begin(), remedies.end());
        if (all.empty()) all.push_back(nothing_found);
        return plain->conflict;
    }
    Found found = search(setting, {}, work);
    if (!found.cut && !found.impossible && problem.last && !work.stop_asked())
        search_afresh(problem, setting, found, work);
    if (!found.cut) {
        if (work.stop_asked()) return Conflict{{"stopped before a cut was found"}, {"run again"}, false};
        return conflict_by_search(problem, found.impossible, work);
    }
    CutPlan plan = to_plan(setting, *found.cut);
    plan.limit = std::max(found.limit, plan.score);
    return plan;
}

} // namespace downball::solve
