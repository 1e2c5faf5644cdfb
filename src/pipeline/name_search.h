// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <set>
#include <stop_token>
#include <string>
#include <unordered_map>
#include <vector>

namespace downball::pipeline {

// Files of some names, whatever their case, below some folders. Hidden files and folders are passed over, and links to
// folders are not followed; a folder that is a link is read if it is named itself.
class NameSearch {
  public:
    explicit NameSearch(const std::vector<std::string>& names);

    // Reads each folder once, also where one lies in another. Gives the folders that were read, in words; nothing if a
    // stop was asked for. A folder that cannot be read to its end gives what it gave.
    std::optional<std::string> read(const std::vector<std::string>& folders, const std::stop_token& stop);

    // Sorted; several ways to one file are one. `name` is one of those asked for.
    const std::vector<std::string>& paths(const std::string& name) const;

  private:
    bool read_below(const std::string& root, const std::stop_token& stop);
    void look_at(const std::string& path);

    std::unordered_map<std::string, std::vector<std::string>> paths_; // by name in lower case
    std::set<std::string> read_;                                      // folders
};

} // namespace downball::pipeline
