// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <span>
#include <string>
#include <vector>

namespace downball::timeline {

// What a reel name is made from.
struct ReelWish {
    std::string path;
    std::string name;   // file name alone
    std::string id;     // content hash in hexadecimal digits
    std::string logged; // from the log; may be empty
    std::string take;   // the earliest id that the log gave to it; empty = the song, which comes last
    std::string card;   // as the camera wrote it; empty = none, or not asked for
};

// Is this id of the log the earlier one? They count on, T999, T1000, and are never given again.
bool earlier_id(const std::string& a, const std::string& b);

// One reel a wish, in the order of the wishes: 1-8 characters A-Z 0-9, no two alike, none that a list keeps
// for itself (BL is black, AX a source without a reel). The first eight characters of the logged reel or of the
// card's, or else the last eight of the file name's stem, since cameras count at its end. Where two files ask for
// the same, the logged one has it, then the one that was logged first, so that neither a file added later nor one
// that has moved renames another. The others get, of a card's reel, four characters and the number of their
// clip, A001C017; else, or where that is taken too, a piece of their content hash.
std::vector<std::string> make_reels(std::span<const ReelWish> wishes);

} // namespace downball::timeline
