// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "shotlog/scores.h"

#include "downball/match/ends.h"

#include <fmt/format.h>
#include <map>

namespace downball::shotlog {
namespace {

bool differ(const Take& a, const Take& b) {
    return a.set != b.set || a.score->a != b.score->a || a.score->b != b.score->b;
}

} // namespace

std::vector<std::string> score_contradictions(const std::vector<Take>& takes) {
    std::vector<std::string> found;
    std::map<std::string, const Take*> last_of_camera, first_of_moment;
    for (const Take& take : takes) {
        if (take.set < 1 || !take.score) continue;
        // Faces and places are filmed after the last point, too.
        if (take.kind == Kind::action && match::set_over(take.set, *take.score))
            found.push_back(
                fmt::format("line {}, column score: no rally begins at {}, where set {} is over; enter the "
                            "score before the rally",
                            take.line, match::to_string(*take.score), take.set));
        const Take*& before = last_of_camera[take.camera];
        if (before && before->set == take.set &&
            (take.score->a < before->score->a || take.score->b < before->score->b))
            found.push_back(fmt::format(
                "line {}, column score: {} in set {} comes after {} in line {} of the same camera; one "
                "of them is wrong, or the rows do not stand as they were filmed",
                take.line, match::to_string(*take.score), take.set, match::to_string(*before->score),
                before->line));
        before = &take;
        if (take.moment.empty()) continue;
        const auto [first, added] = first_of_moment.emplace(take.moment, &take);
        if (!added && differ(*first->second, take))
            found.push_back(fmt::format(
                "line {}, column score: set {}, {}, but moment {} has set {}, {} in line {}; one rally "
                "has one score",
                take.line, take.set, match::to_string(*take.score), take.moment, first->second->set,
                match::to_string(*first->second->score), first->second->line));
    }
    return found;
}

} // namespace downball::shotlog
