// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/shotlog/log.h"

#include <functional>
#include <map>
#include <string>
#include <string_view>
#include <vector>

namespace downball::shotlog {

// Understands the cells of the column `players`, see read_log in shotlog/log.h.
class PlayerWords {
  public:
    explicit PlayerWords(const std::vector<RosterPlayer>& roster);

    // The ids of the players that the cell names, each once, in its order.
    std::vector<std::string> read(std::string_view cell,
                                  const std::function<void(const std::string&)>& complain) const;

  private:
    using Phrase = std::vector<std::string>; // lower-case words
    // What a word or phrase may stand for: a player, or a team with all of its players.
    struct Meaning {
        std::string spelled; // for complaints
        std::vector<std::string> ids;
    };

    void mean(const Phrase& phrase, const Meaning& meaning);
    const std::string* id_of(std::string_view word) const;
    std::vector<std::vector<std::string>> parts_of(std::string_view cell) const;
    std::size_t phrase_length(const std::vector<std::string>& part, std::size_t at) const;
    std::vector<std::string> ids_of(const Phrase& written,
                                    const std::function<void(const std::string&)>& complain) const;

    std::vector<std::string> ids_;   // as the roster spells them
    std::vector<std::string> names_; // words that stand for players or teams, as the roster spells them
    std::map<Phrase, std::vector<Meaning>> meanings_;
    std::size_t longest_ = 1; // words of a phrase
};

} // namespace downball::shotlog
