// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/removable.h"

#include "pipeline/places.h"

#include "downball/base/text.h"

#include <filesystem>
#include <fmt/format.h>
#include <fstream>
#include <sys/stat.h>
#include <sys/sysmacros.h>

namespace downball::pipeline {

namespace {

namespace fs = std::filesystem;

bool says_one(const fs::path& file) {
    std::ifstream in(file);
    std::string text;
    return std::getline(in, text) && trim(text) == "1";
}

// The entry of a partition is a folder in that of its disk, and only the disk's says whether it is removable.
bool removable_device(const std::string& path, const std::string& devices) {
    struct stat status;
    if (::stat(path.c_str(), &status) != 0) return false;
    std::error_code problem;
    const auto device = fs::canonical(
        fs::path(devices) / fmt::format("{}:{}", major(status.st_dev), minor(status.st_dev)), problem);
    if (problem) return false;
    return says_one(device / "removable") || says_one(device.parent_path() / "removable");
}

// Blanks and the like stand in the table as a backslash and three octal digits.
std::string without_escapes(const std::string& written) {
    std::string plain;
    for (std::size_t i = 0; i < written.size(); ++i) {
        const auto digits = written[i] == '\\' ? written.substr(i + 1, 3) : "";
        if (digits.size() == 3 && digits.find_first_not_of("01234567") == std::string::npos) {
            plain += static_cast<char>(std::stoi(digits, nullptr, 8));
            i += 3;
        } else {
            plain += written[i];
        }
    }
    return plain;
}

// Where the file system is mounted that the file lies on; empty if that is not told.
std::string mount_of(const std::string& path, const std::string& mounts) {
    std::ifstream table(mounts);
    std::string line, deepest;
    while (std::getline(table, line)) {
        const auto cells = words(line);
        if (cells.size() < 2) continue;
        const auto place = without_escapes(cells[1]);
        if ((place == path || lies_below(place, path)) && place.size() >= deepest.size()) deepest = place;
    }
    return deepest;
}

} // namespace

bool on_removable(const std::string& path, const SystemFiles& system) {
    if (removable_device(path, system.devices)) return true;
    const auto mount = mount_of(file_key("", path), system.mounts);
    return !mount.empty() && (lies_below("/media", mount) || lies_below("/run/media", mount));
}

} // namespace downball::pipeline
