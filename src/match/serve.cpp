// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/match/serve.h"

#include "downball/match/ends.h"

namespace downball::match {
namespace {

constexpr std::size_t on_court = 4; // two a side, no substitutes

// Whose turn it is to serve, by the winners so far.
class Turn {
  public:
    explicit Turn(Team opens) : serving_(opens) {}
    void won(Team winner) {
        if (winner != serving_) ++turns_;
        serving_ = winner;
    }
    std::string of(std::span<const std::string> order) const {
        const std::size_t place = turns_ % on_court;
        return place < order.size() ? order[place] : std::string();
    }

  private:
    Team serving_;
    std::size_t turns_ = 0;
};

} // namespace

std::vector<std::string> servers(std::span<const std::string> order, Team opens,
                                 std::span<const Team> winners) {
    Turn turn(opens);
    std::vector<std::string> all{turn.of(order)};
    for (const Team winner : winners) {
        turn.won(winner);
        all.push_back(turn.of(order));
    }
    return all;
}

std::optional<std::vector<Team>> winners_between(Score before, Score after) {
    const int a = after.a - before.a, b = after.b - before.b;
    if (a < 0 || b < 0 || (a > 0 && b > 0)) return std::nullopt;
    return std::vector<Team>(static_cast<std::size_t>(a + b), a > 0 ? Team::first : Team::second);
}

bool of_one_set(int set, std::span<const Score> scores) {
    for (std::size_t i = 0; i < scores.size(); ++i) {
        if (!check_score(set, scores[i])) return false;
        if (i == 0) continue;
        const Score before = scores[i - 1];
        const bool same = before.a == scores[i].a && before.b == scores[i].b;
        if (before.a > scores[i].a || before.b > scores[i].b || (set_over(set, before) && !same))
            return false;
    }
    return true;
}

std::vector<Serve> serves(std::span<const std::string> order, std::optional<Team> opens,
                          std::span<const Score> scores) {
    std::vector<Serve> all;
    std::optional<Team> serving = opens;
    std::optional<Turn> turn;
    if (opens) turn.emplace(*opens);
    Score before;
    for (const Score& score : scores) {
        const auto winners = winners_between(before, score);
        if (!winners) {
            serving.reset(); // the last rally was won by one or the other
            turn.reset();
        } else if (!winners->empty()) {
            serving = winners->back();
            for (const Team winner : *winners)
                if (turn) turn->won(winner);
        }
        all.push_back({serving, turn ? turn->of(order) : std::string()});
        before = score;
    }
    return all;
}

} // namespace downball::match
