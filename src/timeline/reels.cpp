// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "timeline/reels.h"

#include <algorithm>
#include <numeric>
#include <set>

namespace downball::timeline {
namespace {

constexpr std::size_t longest = 8;
constexpr std::size_t hash_piece = 3;

std::string kept_characters(const std::string& text) {
    std::string kept;
    for (char c : text) {
        if (c >= 'a' && c <= 'z') c = static_cast<char>(c - 'a' + 'A');
        if ((c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9')) kept += c;
    }
    return kept;
}

std::string stem(const std::string& name) {
    const auto dot = name.find_last_of('.');
    return dot == std::string::npos || dot == 0 ? name : name.substr(0, dot);
}

std::string wanted(const ReelWish& wish) {
    const std::string logged = kept_characters(wish.logged);
    if (!logged.empty()) return logged.substr(0, longest);
    const std::string from_name = kept_characters(stem(wish.name));
    if (from_name.empty()) return "CLIP";
    return from_name.size() > longest ? from_name.substr(from_name.size() - longest) : from_name;
}

std::string other_reel(const std::string& base, const ReelWish& wish, const std::set<std::string>& taken) {
    const std::string hash = kept_characters(wish.id);
    for (std::size_t at = 0; at + hash_piece <= hash.size(); at += hash_piece) {
        const auto reel = base.substr(0, longest - hash_piece) + hash.substr(at, hash_piece);
        if (!taken.contains(reel)) return reel;
    }
    // Copies of one file share their hash; the last resort is to count.
    for (int number = 2;; ++number) {
        const auto digits = std::to_string(number);
        const auto reel = base.substr(0, longest - digits.size()) + digits;
        if (!taken.contains(reel)) return reel;
    }
}

} // namespace

std::vector<std::string> make_reels(std::span<const ReelWish> wishes) {
    std::vector<std::size_t> order(wishes.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        const bool a_free = kept_characters(wishes[a].logged).empty();
        const bool b_free = kept_characters(wishes[b].logged).empty();
        if (a_free != b_free) return b_free;
        if (wishes[a].path != wishes[b].path) return wishes[a].path < wishes[b].path;
        return wishes[a].id != wishes[b].id ? wishes[a].id < wishes[b].id : a < b;
    });

    std::vector<std::string> reels(wishes.size());
    std::set<std::string> taken{"BL", "AX", "BLACK"};
    for (const std::size_t i : order) {
        const std::string base = wanted(wishes[i]);
        reels[i] = taken.contains(base) ? other_reel(base, wishes[i], taken) : base;
        taken.insert(reels[i]);
    }
    return reels;
}

} // namespace downball::timeline
