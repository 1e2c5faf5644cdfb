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
};

// One reel a wish, in the order of the wishes: 1-8 characters A-Z 0-9, no two alike, none that a list keeps
// for itself (BL is black, AX a source without a reel). The logged reel's first eight characters, or else the
// last eight of the file name's stem, since cameras count at its end. Where two files ask for the same, the
// logged one has it, then the one whose path sorts first; the others get a piece of their content hash, so
// that a file added later does not rename them.
std::vector<std::string> make_reels(std::span<const ReelWish> wishes);

} // namespace downball::timeline
