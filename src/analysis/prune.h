// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <set>
#include <string>
#include <string_view>

namespace downball::analysis {

// Which of the files in an analysis folder are ours: "<16 hexadecimal digits>...json" and "seen-<the same>.tsv". All else
// there is somebody's own, and is neither read nor replaced nor deleted.
bool is_ours(std::string_view name);
bool is_list(std::string_view name);

// Deletes files of an analysis folder, those first that were used the longest time ago, until all of ours together take
// at most so many bytes; never those whose name, or the content id it begins with, is in `used`, and
// nothing that is not ours. What is worth telling, or nothing.
std::string prune(const std::string& folder, std::uint64_t most_bytes, const std::set<std::string>& used);

// A file that is used counts as new for prune().
void mark_as_used(const std::string& path);

} // namespace downball::analysis
