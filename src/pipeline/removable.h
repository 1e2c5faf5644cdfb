// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

namespace downball::pipeline {

// Where the system tells of its disks.
struct SystemFiles {
    std::string devices = "/sys/dev/block";   // MAJOR:MINOR of each block device, as links
    std::string mounts = "/proc/self/mounts"; // a line a mount: device, place, kind ... (fstab(5))
};

// Does the file or folder lie on something that can be taken out: a device that the system calls removable (Linux
// sysfs, block devices, `removable` of the disk), or one that is mounted below /media or /run/media, as desktops do
// (Filesystem Hierarchy Standard 3.0, 3.11; the second from memory)? False where that is not known.
bool on_removable(const std::string& path, const SystemFiles& system = {});

} // namespace downball::pipeline
