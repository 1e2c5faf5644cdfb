// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/timeline/reels.h"

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
    const std::string logged = kept_characters(wish.logged), card = kept_characters(wish.card);
    if (!logged.empty()) return logged.substr(0, longest);
    if (!card.empty()) return card.substr(0, longest);
    const std::string from_name = kept_characters(stem(wish.name));
    if (from_name.empty()) return "CLIP";
    return from_name.size() > longest ? from_name.substr(from_name.size() - longest) : from_name;
}

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

// The number in a clip's name: behind a C with three digits or more, as in A001C003_0612, else the last one.
std::string clip_number(const std::string& stem) {
    std::string last;
    for (std::size_t at = 0; at < stem.size();) {
        const std::size_t begin = at;
        while (at < stem.size() && is_digit(stem[at]))
            ++at;
        if (at == begin) {
            ++at;
            continue;
        }
        last = stem.substr(begin, at - begin);
        if (begin > 0 && (stem[begin - 1] == 'C' || stem[begin - 1] == 'c') && last.size() >= 3) break;
    }
    return last;
}

// Four characters tell the card, four the clip. Empty where the file name has no number.
std::string card_and_clip(const ReelWish& wish) {
    constexpr std::size_t card_piece = 4;
    const std::string number = clip_number(stem(wish.name)), card = kept_characters(wish.card);
    if (number.empty() || card.empty()) return {};
    const std::string digits = number.substr(number.size() - std::min<std::size_t>(number.size(), 4));
    const std::string padded = std::string(4 - digits.size(), '0') + digits;
    return card.substr(0, card_piece) + (padded[0] == '0' ? "C" + padded.substr(1) : padded);
}

std::string other_reel(const std::string& base, const ReelWish& wish, const std::set<std::string>& taken) {
    if (kept_characters(wish.logged).empty()) {
        const std::string clip = card_and_clip(wish);
        if (!clip.empty() && !taken.contains(clip)) return clip;
    }
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

bool earlier_id(const std::string& a, const std::string& b) {
    return a.size() != b.size() ? a.size() < b.size() : a < b;
}

std::vector<std::string> make_reels(std::span<const ReelWish> wishes) {
    std::vector<std::size_t> order(wishes.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
        const bool a_free = kept_characters(wishes[a].logged).empty();
        const bool b_free = kept_characters(wishes[b].logged).empty();
        if (a_free != b_free) return b_free;
        if (wishes[a].take.empty() != wishes[b].take.empty()) return wishes[b].take.empty();
        if (wishes[a].take != wishes[b].take) return earlier_id(wishes[a].take, wishes[b].take);
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
