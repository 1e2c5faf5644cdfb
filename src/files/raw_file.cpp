// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/files/raw_file.h"

#include <cerrno>
#include <cstring>
#include <fmt/format.h>
#include <unistd.h>

namespace downball::files {

Descriptor::~Descriptor() {
    if (number_ >= 0) ::close(number_);
}

int Descriptor::close() {
    const int result = ::close(number_);
    number_ = -1;
    return result;
}

int write_all(int file, std::string_view content) {
    while (!content.empty()) {
        const auto written = ::write(file, content.data(), content.size());
        if (written < 0 && errno == EINTR) continue;
        if (written < 0) return errno;
        content.remove_prefix(static_cast<std::size_t>(written));
    }
    return 0;
}

int flush_to_disk(int file) {
    return ::fsync(file) < 0 && errno != EINVAL ? errno : 0;
}

Error cannot_write(const std::string& path, int problem) {
    std::string advice;
    switch (problem) {
    case ENOSPC:
    case EDQUOT:
    case EFBIG:
        advice = "the disk is full; free some space, or write to another place";
        break;
    case EACCES:
    case EPERM:
    case EROFS:
        advice =
            "there is no right to write there; change the rights of the file and its folder, or write to "
            "another place";
        break;
    case ENOENT:
    case ENOTDIR:
        advice = "the folder is not there; make it first";
        break;
    default:
        advice = std::strerror(problem);
    }
    return {Fault::cannot_write, fmt::format("cannot write this file: {}", advice), path};
}

} // namespace downball::files
