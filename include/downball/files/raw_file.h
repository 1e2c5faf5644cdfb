// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"

#include <string>
#include <string_view>

namespace downball::files {

// An open file; closed in any case.
class Descriptor {
  public:
    explicit Descriptor(int number) : number_(number) {}
    Descriptor(const Descriptor&) = delete;
    Descriptor& operator=(const Descriptor&) = delete;
    ~Descriptor();
    int get() const { return number_; }
    int close(); // as close(2)

  private:
    int number_;
};

// Both give 0, or the errno of what went wrong.
int write_all(int file, std::string_view content);
int flush_to_disk(int file);

// What an errno means for a file that was to be written, with what to do.
Error cannot_write(const std::string& path, int problem);

} // namespace downball::files
