// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/split_recordings.h"
#include "support/catch.h"
#include "unit/shotlog/media_of.h"

#include <deque>

using namespace downball;
using namespace downball::pipeline;

namespace {

using Pairs = std::vector<std::pair<std::size_t, std::size_t>>;
constexpr std::uint64_t gib = 1024ULL * 1024 * 1024;
constexpr double frame_s = 0.04; // of 25 pictures a second, as all files here have

struct Files {
    std::deque<MediaInfo> media; // which DayClip points to
    std::vector<DayClip> clips;
    std::vector<clocks::Recording> recordings;

    MediaInfo& add(const std::string& camera, const std::string& path, std::optional<double> at_s,
                   double step_s, double lasts_s = 100) {
        media.push_back(media_of(path, lasts_s));
        clips.push_back({camera, &media.back(), {}, {}});
        clocks::Recording recording{camera, {}, lasts_s, {}};
        if (at_s) recording.began = clocks::Began{*at_s + step_s / 2, step_s};
        recordings.push_back(std::move(recording));
        return media.back();
    }
    Pairs splits() const { return find_splits(clips, recordings); }
};

// The second of two files begins so long after the first, of 100 s and so many bytes, has ended.
Pairs two(double gap_s, double step_s, std::uint64_t bytes) {
    Files files;
    files.add("A", "a1.mp4", 1000, step_s).bytes = bytes;
    files.add("A", "a2.mp4", 1100 + gap_s, step_s);
    return files.splits();
}

const Pairs one_pair{{0, 1}};

} // namespace

TEST_CASE(
    "by a clock that tells to the frame a file goes on that begins within a frame of the last one's end") {
    CHECK(two(0, frame_s, 1000) == one_pair);
    CHECK(two(frame_s, frame_s, 1000) == one_pair);
    CHECK(two(-frame_s, frame_s, 1000) == one_pair);
    CHECK(two(3 * frame_s, frame_s, 1000).empty());
    CHECK(two(-3 * frame_s, frame_s, 1000).empty());
    CHECK(two(3 * frame_s, frame_s, 4 * gib).empty()); // the clock says that it stopped
    CHECK(two(frame_s / 2, 0.001, 1000) == one_pair);  // a clock of milliseconds tells to the frame, too
    CHECK(two(3 * frame_s, 0.001, 1000).empty());
}

// 2 GiB less a byte is the most that a signed count of 32 bits holds, 4 GiB less a byte the most of a file in FAT32
// (Microsoft, "FAT32 File System Specification", 2000: DIR_FileSize has 32 bits).
TEST_CASE("by a clock that tells to a second the file must have come near a limit of size") {
    CHECK(two(0, 1, 2 * gib) == one_pair);
    CHECK(two(1, 1, 4 * gib - 1) == one_pair);
    CHECK(two(-1, 1, 4 * gib - 1) == one_pair);
    CHECK(two(0, 1, gib).empty());
    CHECK(two(0, 1, 1000).empty());
    CHECK(two(4, 1, 4 * gib - 1).empty());
    CHECK(two(-4, 1, 4 * gib - 1).empty());
}

TEST_CASE("a recording goes on in the next file by name, whatever the order they are given in") {
    Files files;
    files.add("A", "100/a3.mp4", 1200, frame_s);
    files.add("A", "100/a1.mp4", 1000, frame_s);
    files.add("A", "101/a1.mp4", 1300, frame_s);
    files.add("A", "100/a2.mp4", 1100, frame_s);
    files.add("B", "b1.mp4", 1100, frame_s); // of another camera, at the same instant
    auto pairs = files.splits();
    std::ranges::sort(pairs);
    CHECK(pairs == Pairs{{0, 2}, {1, 3}, {3, 0}});
    Files between; // one lies between the two by name
    between.add("A", "a1.mp4", 1000, frame_s);
    between.add("A", "a2.mp4", 5000, frame_s);
    between.add("A", "a3.mp4", 1100, frame_s);
    CHECK(between.splits().empty());
}

TEST_CASE("files of other formats, devices or without a clock are no parts of one recording") {
    const auto with = [](void (*change)(MediaInfo&)) {
        Files files;
        files.add("A", "a1.mp4", 1000, frame_s);
        change(files.add("A", "a2.mp4", 1100, frame_s));
        return files.splits();
    };
    CHECK(with([](MediaInfo&) {}) == one_pair);
    CHECK(with([](MediaInfo& info) { info.width = 640; }).empty());
    CHECK(with([](MediaInfo& info) { info.height = 640; }).empty());
    CHECK(with([](MediaInfo& info) { info.rate = Rate(50); }).empty());
    CHECK(with([](MediaInfo& info) { info.device = "Kestrel K7"; }).empty());
    CHECK(with([](MediaInfo& info) { info.audio.reset(); }).empty());
    CHECK(with([](MediaInfo& info) { info.has_video = false; }).empty());
    Files blind;
    blind.add("A", "a1.mp4", 1000, frame_s);
    blind.add("A", "a2.mp4", {}, frame_s);
    CHECK(blind.splits().empty());
    CHECK(find_splits({}, {}).empty());
}

TEST_CASE("a file that plays slower than life ends when its camera stopped, not when it is played out") {
    Files files;
    files.add("A", "a1.mp4", 1000, frame_s, 100);
    files.recordings[0].real_s = 25; // 100 pictures a second, played at 25
    files.add("A", "a2.mp4", 1025, frame_s, 100);
    CHECK(files.splits() == one_pair);
}
