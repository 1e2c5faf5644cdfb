// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/match/ends.h"

#include "downball/base/text.h"

#include <algorithm>
#include <cstdlib>
#include <fmt/format.h>

namespace downball::match {
namespace {

constexpr int last_set = 3;
constexpr int time_out_sum = 21; // in sets 1 and 2

int points_to_win(int set) {
    return set == last_set ? 15 : 21;
}
int points_between_changes(int set) {
    return set == last_set ? 5 : 7;
}

} // namespace

std::optional<Score> parse_score(std::string_view cell) {
    cell = trim(cell);
    constexpr std::string_view en_dash = "\xE2\x80\x93";
    std::size_t at = cell.find(en_dash);
    std::size_t length = en_dash.size();
    if (at == std::string_view::npos) {
        at = cell.find_first_of("-:");
        length = 1;
    }
    if (at == std::string_view::npos) return std::nullopt;
    const auto a = parse_integer(trim(cell.substr(0, at)));
    const auto b = parse_integer(trim(cell.substr(at + length)));
    constexpr long long most = 200; // far past any set ever played; keeps the sum small
    if (!a || !b || *a < 0 || *b < 0 || *a > most || *b > most) return std::nullopt;
    return Score{static_cast<int>(*a), static_cast<int>(*b)};
}

std::string to_string(Score score) {
    return fmt::format("{}-{}", score.a, score.b);
}

Result<void> check_score(int set, Score score) {
    if (set < 1 || set > last_set)
        return Error{Fault::bad_input, fmt::format("found set {}, expected 1, 2 or 3", set), ""};
    if (score.a < 0 || score.b < 0)
        return Error{Fault::bad_input,
                     fmt::format("found {}-{}, expected points from 0 up", score.a, score.b), ""};
    const int more = std::max(score.a, score.b);
    const int less = std::min(score.a, score.b);
    // The set ended as soon as a team led by two with enough points, so past that nobody leads by more.
    if (more > points_to_win(set) && more - less > 2)
        return Error{Fault::bad_input,
                     fmt::format("found {}-{}, but set {} ended at {}-{}", score.a, score.b, set,
                                 score.a > score.b ? std::max(less + 2, points_to_win(set)) : less,
                                 score.a > score.b ? less : std::max(less + 2, points_to_win(set))),
                     ""};
    return {};
}

bool set_over(int set, Score score) {
    return std::max(score.a, score.b) >= points_to_win(set) && std::abs(score.a - score.b) >= 2;
}

int changes_of_ends(int set, Score score) {
    const int sum = score.a + score.b;
    return (set_over(set, score) ? sum - 1 : sum) / points_between_changes(set);
}

int points_to_change(int set, Score score) {
    const int between = points_between_changes(set);
    return between - (score.a + score.b) % between;
}

bool ends_change_at(int set, Score score) {
    const int sum = score.a + score.b;
    return sum > 0 && sum % points_between_changes(set) == 0 && !set_over(set, score);
}

bool time_out_at(int set, Score score) {
    return set != last_set && score.a + score.b == time_out_sum && !set_over(set, score);
}

int points_to_time_out(int set, Score score) {
    return set == last_set ? 0 : std::max(0, time_out_sum - (score.a + score.b));
}

} // namespace downball::match
