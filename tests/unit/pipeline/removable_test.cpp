// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/removable.h"
#include "support/catch.h"
#include "support/temp_folder.h"

#include <filesystem>
#include <fmt/format.h>
#include <fstream>
#include <sys/stat.h>
#include <sys/sysmacros.h>

using namespace downball::pipeline;
using downball::test::TempFolder;
namespace fs = std::filesystem;

namespace {

// A system's files that tell what they are told of the device on which they lie.
struct System {
    TempFolder folder;
    SystemFiles files{folder / "dev/block", folder / "mounts"};

    System() { fs::create_directories(files.devices); }
    // `entry`: of the device or partition; `disk`: of the disk, which has the word.
    void device(const std::string& entry, const std::string& disk, const std::string& removable) {
        fs::create_directories(folder / entry);
        std::ofstream(folder / (disk + "/removable")) << removable << "\n";
        struct stat status;
        REQUIRE(::stat(folder.path().c_str(), &status) == 0);
        fs::create_directory_symlink(folder / entry,
                                     fs::path(files.devices) /
                                         fmt::format("{}:{}", major(status.st_dev), minor(status.st_dev)));
    }
    void mounts(const std::string& table) { std::ofstream(files.mounts) << table; }
    bool removable() const { return on_removable(folder.path(), files); }
};

} // namespace

// Linux sysfs: /sys/dev/block/MAJOR:MINOR is a link to devices/.../block/DISK or .../DISK/PARTITION.
TEST_CASE("a card is removable if the system says so of its disk") {
    for (const bool partition : {false, true})
        for (const bool removable : {false, true}) {
            System system;
            system.device(partition ? "devices/block/sdx/sdx1" : "devices/block/sdx", "devices/block/sdx",
                          removable ? "1" : "0");
            CHECK(system.removable() == removable);
        }
}

// fstab(5): blanks are written \040.
TEST_CASE("what desktops mount below /media and /run/media can be taken out") {
    const auto mounted_at = [](const std::string& place) {
        System system;
        system.mounts("none / rootfs rw 0 0\n/dev/sdx1 " + place + " vfat rw 0 0\nbroken\n");
        return on_removable("/media/user/MY CARD/DCIM", system.files);
    };
    CHECK(mounted_at("/media/user/MY\\040CARD"));
    CHECK_FALSE(mounted_at("/media/user/MY")); // another, so it lies on the root
    CHECK_FALSE(mounted_at("/mnt"));
    System system;
    system.mounts("/dev/sdx1 /run/media/user/A vfat rw 0 0\n");
    CHECK(on_removable("/run/media/user/A/x.mp4", system.files));
    CHECK_FALSE(on_removable("/home/user/x.mp4", system.files));
}

TEST_CASE("where the system tells nothing nothing is removable") {
    System system;
    CHECK_FALSE(system.removable());
    CHECK_FALSE(on_removable(system.folder / "gone", system.files));
}
