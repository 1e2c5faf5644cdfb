// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/known_locks.h"

#include "downball/base/notes.h"
#include "downball/base/text.h"

#include <algorithm>
#include <cstdlib>
#include <fmt/format.h>

namespace downball::pipeline {

namespace {

// An id taken apart: TAKE#MILLISECONDS of a contact, TAKE@NUMBER of a shot without one.
struct ShotId {
    std::string take;
    char sign = 0; // 0: neither
    std::optional<long long> number;
};

ShotId take_apart(const std::string& id) {
    const auto at = id.find_last_of("#@");
    if (at == std::string::npos) return {id, 0, {}};
    return {id.substr(0, at), id[at], parse_integer(std::string_view(id).substr(at + 1))};
}

const Take* take_called(const ShotLog& log, const std::string& id) {
    const auto found = std::ranges::find(log.takes, id, &Take::id);
    return found == log.takes.end() ? nullptr : &*found;
}

std::vector<std::string> contacts_of(const Take& take) {
    std::vector<std::string> ids;
    for (const Impact& impact : take.impacts)
        ids.push_back(impact.id);
    return ids;
}

// Every id that a shot of this log can have, of those without a contact the first of each take.
std::vector<std::string> shots_of(const ShotLog& log) {
    std::vector<std::string> ids;
    for (const Take& take : log.takes) {
        if (take.kind != Kind::action) ids.push_back(take.id + "@1");
        const auto contacts = contacts_of(take);
        if (take.kind == Kind::action) ids.insert(ids.end(), contacts.begin(), contacts.end());
    }
    return ids;
}

// The contact of the take that is nearest in time, within the reach of a new hearing. Ties go to the earlier one.
std::optional<std::string> heard_anew(const Take& take, long long ms) {
    constexpr long long reach_ms = 20;
    std::optional<std::string> nearest;
    long long least = reach_ms + 1;
    if (ms < 0) return nearest;
    for (const Impact& impact : take.impacts) {
        const auto at = take_apart(impact.id).number;
        if (!at || std::llabs(*at - ms) >= least) continue;
        least = std::llabs(*at - ms);
        nearest = impact.id;
    }
    return nearest;
}

// What else the lock may mean, as the end of a sentence.
std::string proposal(const std::string& shot, const ShotLog& log) {
    const ShotId id = take_apart(shot);
    const Take* take = take_called(log, id.take);
    const auto near =
        nearest_word(shot, take && take->kind == Kind::action ? contacts_of(*take) : shots_of(log));
    if (near) return fmt::format("did you mean {}?", *near);
    if (take && take->kind == Kind::action)
        return take->impacts.empty()
                   ? fmt::format("{} has no contacts: correct the id, or take the lock away", id.take)
                   : fmt::format("{} has {}; correct the id", id.take, some_of(contacts_of(*take), 6));
    if (take) return fmt::format("did you mean {}@1?", id.take);
    return "correct it by the last report or `downball show`, or take the lock away";
}

bool names_cutaway(const ShotId& id, const Take& take) {
    return id.sign == '@' && take.kind != Kind::action && take.kind != Kind::sound && id.number &&
           *id.number >= 1;
}

} // namespace

Result<void> know_locks(std::vector<Lock>& locks, ShotLog& log, const std::string& job) {
    std::vector<std::string> complaints;
    for (std::size_t i = 0; i < locks.size(); ++i) {
        std::string& shot = locks[i].shot;
        const ShotId id = take_apart(shot);
        const Take* take = take_called(log, id.take);
        if (take && (names_cutaway(id, *take) || std::ranges::count(take->impacts, shot, &Impact::id) > 0))
            continue;
        const auto anew = take && id.sign == '#' && id.number ? heard_anew(*take, *id.number) : std::nullopt;
        if (anew) {
            log.notes.push_back(
                fmt::format("locks: {} is {} by now, the same contact heard anew", shot, *anew));
            shot = *anew;
            continue;
        }
        complaints.push_back(fmt::format("/locks/{}: found \"{}\", which no shot of this log can be; {}", i,
                                         shot, proposal(shot, log)));
    }
    if (complaints.empty()) return {};
    return Error{Fault::bad_input, join(complaints, "\n"), job};
}

} // namespace downball::pipeline
