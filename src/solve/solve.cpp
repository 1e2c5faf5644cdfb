// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/solve/solve.h"

#include "solve/diagnose.h"
#include "solve/reasons.h"
#include "solve/search.h"

namespace downball::solve {
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

std::variant<CutPlan, Diagnosis> cut_or_diagnosis(const Problem& problem, const LongWork& work) {
    Setting setting = make_setting(problem);
    if (auto reason = plain_reason(setting)) {
        if (reason->movable) return diagnose(problem, true, work);
        return Diagnosis{{reason->facts, reason->remedies}, {}, true, {}, {}};
    }
    Found found = search(setting, {}, work);
    if (!found.cut && !found.impossible && problem.last && !work.stop_asked())
        search_afresh(problem, setting, found, work);
    if (!found.cut) {
        if (work.stop_asked())
            return Diagnosis{{{"stopped before a cut was found"}, {"run again"}, false}, {}, false, {}, {}};
        return diagnose(problem, found.impossible, work);
    }
    CutPlan plan = to_plan(setting, *found.cut);
    plan.limit = std::max(found.limit, plan.score);
    return plan;
}

Outcome solve(const Problem& problem, const LongWork& work) {
    auto answer = cut_or_diagnosis(problem, work);
    if (auto* diagnosis = std::get_if<Diagnosis>(&answer)) return std::move(diagnosis->conflict);
    return std::get<CutPlan>(std::move(answer));
}

} // namespace downball::solve
