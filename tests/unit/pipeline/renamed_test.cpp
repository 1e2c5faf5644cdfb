// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/renamed.h"
#include "unit/media/clips.h"

#include <filesystem>

using namespace downball;
using namespace downball::pipeline;
using downball::shotlog::LoggedFile;
using downball::test::TempFolder;
namespace fs = std::filesystem;

namespace {

// A job's folder with clips of pictures alone; those of one length in pictures and one seed have the same bytes.
struct Job {
    TempFolder folder;

    std::string clip(const std::string& name, double seconds, const std::string& comment = "") {
        const auto path = folder / name;
        fs::create_directories(fs::path(path).parent_path());
        test::ffmpeg(fmt::format("-f lavfi -i color=s=32x32:r=25:d={} -c:v libx264 -preset ultrafast "
                                 "-metadata comment={}x {}",
                                 seconds, comment, path));
        return path;
    }
    Renamed find(const std::vector<LoggedFile>& files, const std::vector<std::string>& fresh) const {
        const auto renamed = find_renamed(files, folder.path(), fresh, {});
        REQUIRE(renamed);
        return *renamed;
    }
};

LoggedFile logged(const std::string& file, const std::string& like, double duration_s, int line = 2) {
    return {file, line, fs::file_size(like), duration_s, false};
}

} // namespace

TEST_CASE("a file that is gone and a new one of its size and length are one file") {
    Job job;
    const auto now = job.clip("b/B.mp4", 1);
    CHECK(job.find({logged("a/A.mp4", now, 1.0), logged("./a/A.mp4", now, 1.0, 3)}, {now}).found ==
          std::map<std::string, std::string>{{"a/A.mp4", "b/B.mp4"}, {"./a/A.mp4", "b/B.mp4"}});
    CHECK(tell_renamed({{"A.mp4", "B.mp4"}}) == "A.mp4 is called B.mp4 now (same size and length)");
    CHECK(tell_renamed({}).empty());
}

TEST_CASE("other size, other length, no pictures, no figures in the log, a file that is there: not renamed") {
    Job job;
    const auto now = job.clip("B.mp4", 1);
    auto other = logged("A.mp4", now, 1.0);
    *other.bytes += 1;
    CHECK(job.find({other}, {now}).found.empty());
    CHECK(job.find({logged("A.mp4", now, 1.1)}, {now}).found.empty());
    CHECK(job.find({{"A.mp4", 2, fs::file_size(now), {}, false}}, {now}).found.empty());
    CHECK(job.find({{"A.mp4", 2, {}, 1.0, false}}, {now}).found.empty());
    const auto there = job.clip("A.mp4", 1);
    CHECK(job.find({logged("A.mp4", now, 1.0)}, {now}).found.empty());
    test::write_clicks(job.folder / "b.wav", 8000, 1); // 2 s
    CHECK(job.find({logged("a.wav", job.folder / "b.wav", 2.0)}, {job.folder / "b.wav"}).found.empty());
}

TEST_CASE("where two may be it nothing is renamed, and both are named") {
    Job job;
    const auto one = job.clip("B.mp4", 1, "1"), two = job.clip("C.mp4", 1, "2");
    REQUIRE(fs::file_size(one) == fs::file_size(two));
    const auto either = job.find({logged("A.mp4", one, 1.0)}, {one, two});
    CHECK(either.found.empty());
    REQUIRE(either.notes.size() == 1);
    CHECK(either.notes[0].find("A.mp4 is gone; by size and length it may be B.mp4, C.mp4;") == 0);
    const auto rivals = job.find({logged("A.mp4", one, 1.0), logged("D.mp4", one, 1.0, 3)}, {one});
    CHECK(rivals.found.empty());
    CHECK(rivals.notes.size() == 2);
}

TEST_CASE("a file of another size than logged is told with what to do") {
    Job job;
    const auto path = job.clip("A.mp4", 1);
    auto file = logged("A.mp4", path, 1.0);
    CHECK(tell_changed(std::vector{file}, job.folder.path()).empty());
    *file.bytes = 7;
    const auto told = tell_changed(std::vector{file, logged("gone.mp4", path, 1.0)}, job.folder.path());
    CHECK(told.find(fmt::format("A.mp4 has {} bytes, 7 when it was logged: ", fs::file_size(path))) == 0);
    CHECK(told.find("empty the cells contacts, bytes and duration_s") != std::string::npos);
    file.bytes.reset();
    CHECK(tell_changed(std::vector{file}, job.folder.path()).empty());
}
