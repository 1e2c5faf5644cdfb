// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <span>
#include <string>
#include <vector>

namespace downball {

// "T1, T2, T3 and 12 more", or all of them where they are few.
std::string some_of(std::span<const std::string> all, std::size_t most = 3);

// Notes of one kind in one line each, in the order of the first of their kind. Notes "WHO: what" that say the
// same of several become "WHO, WHO, WHO and 12 more: what"; notes that differ only in words with digits (ids,
// labels, file names, numbers) become the first of them with a count of the others.
std::vector<std::string> group_notes(std::span<const std::string> notes);

} // namespace downball
