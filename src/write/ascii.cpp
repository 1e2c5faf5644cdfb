// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "write/ascii.h"

#include <algorithm>
#include <array>
#include <cstdint>

namespace downball::write {
namespace {

struct Spelling {
    std::uint32_t from, to; // code points, both included
    const char* ascii;
};

// Latin-1 Supplement, Latin Extended-A and common punctuation; ranges that share a letter stand together.
constexpr std::array spellings{
    Spelling{0xA0, 0xA0, " "},      Spelling{0xAB, 0xAB, "\""},     Spelling{0xBB, 0xBB, "\""},
    Spelling{0xC0, 0xC5, "A"},      Spelling{0xC6, 0xC6, "AE"},     Spelling{0xC7, 0xC7, "C"},
    Spelling{0xC8, 0xCB, "E"},      Spelling{0xCC, 0xCF, "I"},      Spelling{0xD0, 0xD0, "D"},
    Spelling{0xD1, 0xD1, "N"},      Spelling{0xD2, 0xD6, "O"},      Spelling{0xD7, 0xD7, "x"},
    Spelling{0xD8, 0xD8, "O"},      Spelling{0xD9, 0xDC, "U"},      Spelling{0xDD, 0xDD, "Y"},
    Spelling{0xDE, 0xDE, "TH"},     Spelling{0xDF, 0xDF, "ss"},     Spelling{0xE0, 0xE5, "a"},
    Spelling{0xE6, 0xE6, "ae"},     Spelling{0xE7, 0xE7, "c"},      Spelling{0xE8, 0xEB, "e"},
    Spelling{0xEC, 0xEF, "i"},      Spelling{0xF0, 0xF0, "d"},      Spelling{0xF1, 0xF1, "n"},
    Spelling{0xF2, 0xF6, "o"},      Spelling{0xF8, 0xF8, "o"},      Spelling{0xF9, 0xFC, "u"},
    Spelling{0xFD, 0xFD, "y"},      Spelling{0xFE, 0xFE, "th"},     Spelling{0xFF, 0xFF, "y"},
    Spelling{0x131, 0x131, "i"},    Spelling{0x152, 0x152, "OE"},   Spelling{0x153, 0x153, "oe"},
    Spelling{0x178, 0x178, "Y"},    Spelling{0x2010, 0x2015, "-"},  Spelling{0x2018, 0x201B, "'"},
    Spelling{0x201C, 0x201F, "\""}, Spelling{0x2026, 0x2026, "..."}};

// Latin Extended-A from U+0100 alternates capital and small letter of the same base; where each run begins.
struct Pairs {
    std::uint32_t from, to;
    char capital;
};
constexpr std::array pairs{
    Pairs{0x100, 0x105, 'A'}, Pairs{0x106, 0x10D, 'C'}, Pairs{0x10E, 0x111, 'D'}, Pairs{0x112, 0x11B, 'E'},
    Pairs{0x11C, 0x123, 'G'}, Pairs{0x124, 0x127, 'H'}, Pairs{0x128, 0x130, 'I'}, Pairs{0x134, 0x135, 'J'},
    Pairs{0x136, 0x137, 'K'}, Pairs{0x14C, 0x151, 'O'}, Pairs{0x154, 0x159, 'R'}, Pairs{0x15A, 0x161, 'S'},
    Pairs{0x162, 0x167, 'T'}, Pairs{0x168, 0x173, 'U'}, Pairs{0x174, 0x175, 'W'}, Pairs{0x176, 0x177, 'Y'}};
// The runs that begin with a capital on an odd code point.
constexpr std::array odd_pairs{Pairs{0x139, 0x142, 'L'}, Pairs{0x143, 0x148, 'N'}, Pairs{0x179, 0x17E, 'Z'}};

// Takes one code point off the front; a byte that begins none counts as one unknown character.
std::uint32_t take_code_point(std::string_view& text) {
    const auto first = static_cast<unsigned char>(text.front());
    const std::size_t length = first < 0x80    ? 1
                               : first >= 0xF0 ? 4
                               : first >= 0xE0 ? 3
                               : first >= 0xC0 ? 2
                                               : 1;
    std::uint32_t code = length == 1 ? first : first & (0x7Fu >> length);
    std::size_t used = 1;
    for (; used < length && used < text.size(); ++used) {
        const auto next = static_cast<unsigned char>(text[used]);
        if ((next & 0xC0u) != 0x80u) break;
        code = (code << 6) | (next & 0x3Fu);
    }
    const bool whole = used == length && (first < 0x80 || first >= 0xC0);
    text.remove_prefix(used);
    return whole ? code : 0xFFFD;
}

std::string spell(std::uint32_t code) {
    if (code < 0x20 || code == 0x7F) return " ";
    if (code < 0x7F) return std::string(1, static_cast<char>(code));
    if (code >= 0x300 && code <= 0x36F) return ""; // combining accents, as file names on some systems have
    for (const auto& s : spellings)
        if (code >= s.from && code <= s.to) return s.ascii;
    const auto letter = [](char capital, bool small) {
        return std::string(1, static_cast<char>(small ? capital - 'A' + 'a' : capital));
    };
    for (const auto& p : pairs)
        if (code >= p.from && code <= p.to) return letter(p.capital, code % 2 == 1);
    for (const auto& p : odd_pairs)
        if (code >= p.from && code <= p.to) return letter(p.capital, code % 2 == 0);
    return "_";
}

} // namespace

std::string to_ascii(std::string_view utf8) {
    std::string ascii;
    while (!utf8.empty())
        ascii += spell(take_code_point(utf8));
    return ascii;
}

} // namespace downball::write
