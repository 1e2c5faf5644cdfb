// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"

#include <cstdint>
#include <functional>
#include <stop_token>
#include <string>

namespace downball::pipeline {

// Told now and then of the bytes read since the last time.
struct CopyWork {
    std::function<void(std::uint64_t bytes)> progress;
    std::stop_token stop;
};

enum class Copied { written, kept, unreadable, other_there };
struct CopiedFile {
    Copied how = Copied::written;
    std::string why; // of a file that is unreadable
};

// Copies one file to where nothing stands, and checks the copy as it is on the disk; what stands there already is compared.
// Errors, which hold for other files as well: cannot be written (Fault::cannot_write), stopped on request.
Result<CopiedFile> copy_checked(const std::string& from, const std::string& to, const CopyWork& work);

} // namespace downball::pipeline
