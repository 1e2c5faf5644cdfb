// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <map>
#include <set>
#include <string>
#include <vector>

namespace downball::analysis {

// What can be wrong with a file of an analysis folder. None of it stops a run.
enum class Trouble { damaged, newer, unreadable, unwritten };

class Troubles {
  public:
    void add(Trouble trouble, const std::string& path, const std::string& why = {});
    // A line for each kind that there is, and none of them is left.
    std::vector<std::string> tell(const std::string& folder);

  private:
    struct Files {
        std::set<std::string> names; // each once, however often it is looked for
        std::string why;             // of the first
    };
    std::map<Trouble, Files> found_;
};

} // namespace downball::analysis
