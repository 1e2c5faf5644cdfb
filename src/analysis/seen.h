// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/analysis/folder.h"

#include <map>
#include <string>
#include <string_view>
#include <vector>

namespace downball::analysis {

// What files were when their content was read: a line each, "id bytes modified changed path" between tabs, under a line
// with the hash of all that. Each run writes a list of its own, "seen-<hash>.tsv", in which it takes up those it found.
class Seen {
  public:
    // Takes up a list; false where it is damaged. What was taken up first counts.
    bool take_up(std::string_view text);
    // The id, if a file of that path has still these bytes and times.
    std::string id_of(const Identity& file) const;
    // Not taken: a path with a tab or a line end in it.
    void add(const Identity& file);
    std::string text() const; // of all, by path
    bool empty() const { return files_.empty(); }

  private:
    std::map<std::string, Identity, std::less<>> files_; // by path
};

// The file's size and times now; nothing if it is not there.
std::optional<Identity> stamp_of(const std::string& path);

// Is the last change so near to now that one more might go unseen? File systems count time in steps of up to 2 s (FAT).
bool just_changed(const Identity& file);

} // namespace downball::analysis
