// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"

#include <cstdint>
#include <string>
#include <string_view>

namespace downball::media {

// Larger files are sampled.
inline constexpr std::uint64_t wholly_hashed_bytes = std::uint64_t{64} << 20;

// 16 hexadecimal digits of XXH3_64 over the file's size (8 bytes, lowest first) and its content. Above
// 64 MiB the content is sampled: 64 blocks of 1 MiB at equal distances, the first and the last included, so
// that a card of long clips is known within seconds. Two recordings of one size that differ anywhere differ
// in practice in every block; an edit of a few bytes deep inside a large file may go unseen.
Result<std::string> content_id(const std::string& path);

// The id that a file of this content has.
std::string content_id_of(std::string_view content);

} // namespace downball::media
