// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"

#include <map>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace downball::files {

// A whole small text file. Errors: not there, a folder, unreadable, over 256 MiB.
Result<std::string> read_text(const std::string& path);

// 16 hexadecimal digits that tell contents apart (XXH3, 64 bits).
std::string content_hash(std::string_view content);
// The same of a file of any size. Errors: not there, unreadable.
Result<std::string> file_hash(const std::string& path);

// One file that appears whole or not at all, also where other processes and machines write the same one. It is not
// waited for until it is on the disk: after a power cut it may be there without its content. Errors
// (Fault::cannot_write) as those of OutputSet.
Result<void> replace_file(const std::string& path, std::string_view content);

// Files that appear together or not at all: each is written beside its place under another name, and only
// when all stand on the disk are they renamed. Dropped without commit(), nothing of them is left.
class OutputSet {
  public:
    OutputSet() = default;
    OutputSet(const OutputSet&) = delete;
    OutputSet& operator=(const OutputSet&) = delete;
    ~OutputSet();

    // Errors (Fault::cannot_write): no such folder, no right to write, disk full; each says what to do.
    Result<void> add(const std::string& path, std::string_view content);
    // Where the caller writes a file of this set by itself, or where one that was added stands until commit().
    Result<std::string> reserve(const std::string& path);
    Result<void> commit();

  private:
    struct Pending {
        std::string temporary;
        std::string path;
    };
    std::vector<Pending> pending_;
};

// Makes the folder and its parents. Errors: Fault::cannot_write.
Result<void> make_folder(const std::string& path);

} // namespace downball::files
