// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/proxies.h"
#include "unit/media/clips.h"

#include <filesystem>

using namespace downball;
using namespace downball::pipeline;
using downball::test::TempFolder;
namespace fs = std::filesystem;

namespace {

// Clips at 25 pictures a second, made by the ffmpeg program.
struct Card {
    TempFolder folder;
    std::vector<std::string> clips;

    void put(const std::string& name, const std::string& size, double seconds = 1) {
        const auto path = folder / name;
        fs::create_directories(fs::path(path).parent_path());
        test::ffmpeg(fmt::format("-f lavfi -i color=s={}:r=25:d={} -c:v libx264 -preset ultrafast -f mp4 {}",
                                 size, seconds, path));
        clips.push_back(path);
    }
    // By their names below the folder.
    std::set<std::string> proxies() const {
        analysis::Folder kept;
        const auto found = find_proxies(clips, kept);
        REQUIRE(found);
        std::set<std::string> names;
        for (const auto& path : *found)
            names.insert(fs::path(path).lexically_relative(folder.path()).string());
        return names;
    }
};

} // namespace

TEST_CASE(
    "a copy of at most half the area and the same length beside the clip, above, below or in a folder beside "
    "is a proxy") {
    Card card;
    card.put("clip/A1.mp4", "64x64");
    card.put("clip/A1_Proxy.mov", "32x32");
    card.put("clip/sub/a1.MP4", "64x32"); // half
    card.put("A1-low.mp4", "32x32");
    card.put("prox/A1.mp4", "32x32", 1.08); // two pictures longer
    CHECK(card.proxies() ==
          std::set<std::string>{"clip/A1_Proxy.mov", "clip/sub/a1.MP4", "A1-low.mp4", "prox/A1.mp4"});
}

TEST_CASE("a copy named by the clip, a letter and two digits is a proxy, in a folder beside as well") {
    Card card;
    card.put("clip/C0001.mp4", "64x64");
    card.put("clip/C0002.mp4", "64x64");
    card.put("sub/C0001S03.mp4", "32x32");
    card.put("sub/C0002S03.mp4", "32x32");
    card.put("sub/D0003S03.mp4", "32x32"); // of no clip
    CHECK(card.proxies() == std::set<std::string>{"sub/C0001S03.mp4", "sub/C0002S03.mp4"});
}

TEST_CASE("a clip without a bigger twin is no proxy, whatever its name") {
    Card card;
    card.put("a/A1.mp4", "64x64");
    card.put("a/A1_proxy.mp4", "64x48"); // more than half
    card.put("a/A2_proxy.mp4", "32x32"); // alone
    card.put("a/A3.mp4", "64x64");
    card.put("a/A3_low.mp4", "32x32", 1.2); // longer
    card.put("far/off/A1.mp4", "32x32");    // neither above nor below nor beside
    card.put("a/A4.mp4", "64x64");
    card.put("a/A41.mp4", "32x32"); // another name
    card.put("a/B0001.lrv", "32x32");
    CHECK(card.proxies().empty());
}

TEST_CASE("two cameras that count alike are no proxies of each other, though single clips are as long") {
    Card card;
    card.put("cam1/C0001.mp4", "64x64", 1);
    card.put("cam1/C0002.mp4", "64x64", 2);
    card.put("cam2/C0001.mp4", "32x32", 1);
    card.put("cam2/C0002.mp4", "32x32", 3);
    CHECK(card.proxies().empty());
    // The same in a folder of proxies: a sound of the name and a clip without a namesake change nothing.
    Card other;
    other.put("clip/C0001.mp4", "64x64", 1);
    other.put("clip/C0002.mp4", "64x64", 2);
    other.put("prox/C0001.mp4", "32x32", 1);
    other.put("prox/C0002.mp4", "32x32", 2);
    other.put("prox/C0003.mp4", "32x32", 2);
    test::write_clicks(other.folder / "clip/C0001.wav", 8000, 1);
    other.clips.push_back(other.folder / "clip/C0001.wav");
    CHECK(other.proxies() == std::set<std::string>{"prox/C0001.mp4", "prox/C0002.mp4"});
}

TEST_CASE("a copy by its ending needs only the number of the clip") {
    Card card;
    card.put("DCIM/100ABCDE/XX010001.MP4", "64x64", 1);
    card.put("DCIM/100ABCDE/XX010002.MP4", "64x64", 2);
    card.put("DCIM/100ABCDE/XL010001.LRV", "32x32", 1);
    card.put("DCIM/100ABCDE/XL010002.LRV", "32x32", 1); // not as long
    card.put("DCIM/100ABCDE/XL010001.MP4", "32x32", 1); // of the number, without the ending
    CHECK(card.proxies() == std::set<std::string>{"DCIM/100ABCDE/XL010001.LRV"});
}

TEST_CASE("looking for proxies stops on request") {
    Card card;
    card.put("A1.mp4", "64x64");
    card.put("A1_proxy.mp4", "32x32");
    std::stop_source source;
    source.request_stop();
    analysis::Folder kept;
    const auto stopped = find_proxies(card.clips, kept, {{}, source.get_token()});
    REQUIRE_FALSE(stopped);
    CHECK(stopped.error().fault == Fault::interrupted);
}
