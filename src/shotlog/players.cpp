// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "shotlog/players.h"

#include "shotlog/cells.h"

#include "downball/base/text.h"

#include <algorithm>
#include <fmt/format.h>

namespace downball::shotlog {
namespace {

std::vector<std::string> in_lower_case(const std::vector<std::string>& words) {
    std::vector<std::string> lowered;
    for (const std::string& word : words)
        lowered.push_back(lower(word));
    return lowered;
}

void add_once(std::vector<std::string>& all, const std::string& one) {
    if (std::ranges::find(all, one) == all.end()) all.push_back(one);
}

} // namespace

PlayerWords::PlayerWords(const std::vector<RosterPlayer>& roster) {
    std::map<std::string, Meaning> teams; // by their names in lower case
    for (const RosterPlayer& player : roster) {
        ids_.push_back(player.id);
        const auto name = list_words(player.name);
        const Meaning one{name.empty() ? player.id : fmt::format("{} ({})", player.id, join(name, " ")),
                          {player.id}};
        mean(in_lower_case(name), one);
        for (const std::string& word : name) {
            mean({lower(word)}, one);
            add_once(names_, word);
        }
        if (list_words(player.team).empty()) continue;
        Meaning& team = teams[lower(player.team)];
        if (team.ids.empty()) team.spelled = "the team " + player.team;
        team.ids.push_back(player.id);
        add_once(names_, player.team);
    }
    for (const auto& [name, team] : teams)
        mean(list_words(name), team);
}

void PlayerWords::mean(const Phrase& phrase, const Meaning& meaning) {
    if (phrase.empty()) return;
    longest_ = std::max(longest_, phrase.size());
    auto& all = meanings_[phrase];
    if (std::ranges::find(all, meaning.spelled, &Meaning::spelled) == all.end()) all.push_back(meaning);
}

// The roster's spelling of an id; of two that differ by case alone, the one that is written so.
const std::string* PlayerWords::id_of(std::string_view word) const {
    auto found = std::ranges::find(ids_, word);
    if (found == ids_.end())
        found = std::ranges::find_if(ids_, [&](const std::string& id) { return lower(id) == lower(word); });
    return found == ids_.end() ? nullptr : &*found;
}

// Runs of words with no comma or the like between them; a name stands in one of them. An id may hold such a sign.
std::vector<std::vector<std::string>> PlayerWords::parts_of(std::string_view cell) const {
    std::vector<std::vector<std::string>> parts(1);
    for (const std::string& written : words(cell)) {
        std::size_t begin = 0;
        while (begin < written.size()) {
            const std::size_t last = written.find_last_not_of(list_signs);
            const bool id = begin == 0 && last != std::string::npos && id_of(written.substr(0, last + 1));
            const std::size_t end =
                id ? last + 1 : std::min(written.find_first_of(list_signs, begin), written.size());
            if (end > begin) parts.back().push_back(written.substr(begin, end - begin));
            if (end < written.size()) parts.emplace_back();
            begin = end + 1;
        }
    }
    return parts;
}

// How many words from there on are one name: the most that can be, save where each is an id.
std::size_t PlayerWords::phrase_length(const std::vector<std::string>& part, std::size_t at) const {
    for (std::size_t length = std::min(longest_, part.size() - at); length > 1; --length) {
        const Phrase phrase(part.begin() + static_cast<std::ptrdiff_t>(at),
                            part.begin() + static_cast<std::ptrdiff_t>(at + length));
        if (std::ranges::all_of(phrase, [&](const std::string& word) { return id_of(word) != nullptr; }))
            continue;
        if (meanings_.contains(in_lower_case(phrase))) return length;
    }
    return 1;
}

std::vector<std::string> PlayerWords::ids_of(const Phrase& written,
                                             const std::function<void(const std::string&)>& complain) const {
    if (written.size() == 1 && ids_.empty()) return written; // without a roster any word is a player
    if (const std::string* id = id_of(written.front()); id && written.size() == 1) return {*id};
    const auto known = meanings_.find(in_lower_case(written));
    if (known == meanings_.end()) {
        complain(unknown_word(written.front(), ids_, names_));
        return {};
    }
    if (known->second.size() == 1) return known->second.front().ids;
    std::vector<std::string> all;
    for (const Meaning& meaning : known->second)
        all.push_back(meaning.spelled);
    complain(
        fmt::format("found \"{}\", which may be {}; write the id", join(written, " "), join(all, " or ")));
    return {};
}

std::vector<std::string> PlayerWords::read(std::string_view cell,
                                           const std::function<void(const std::string&)>& complain) const {
    std::vector<std::string> players;
    for (const auto& part : parts_of(cell)) {
        for (std::size_t at = 0; at < part.size();) {
            const std::size_t length = phrase_length(part, at);
            const Phrase written(part.begin() + static_cast<std::ptrdiff_t>(at),
                                 part.begin() + static_cast<std::ptrdiff_t>(at + length));
            for (const std::string& id : ids_of(written, complain))
                add_once(players, id);
            at += length;
        }
    }
    return players;
}

} // namespace downball::shotlog
