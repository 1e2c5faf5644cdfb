// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/checked_copy.h"

#include "downball/files/raw_file.h"
#include "downball/files/stream_hash.h"

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <fcntl.h>
#include <filesystem>
#include <fmt/format.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>
#include <vector>

namespace downball::pipeline {

namespace {

namespace fs = std::filesystem;

const Error stopped{
    Fault::interrupted,
    "stopped on request; the files copied so far are whole, and the same command goes on from here", ""};

// A name beside the file that cards do not use. It is the same in each run, so that what a run that was killed left
// behind is written anew and does not stay; the lock tells a run that still writes there.
class Draft {
  public:
    explicit Draft(const std::string& to)
        : path_((fs::path(to).parent_path() / ("." + fs::path(to).filename().string() + ".downball.part"))
                    .string()),
          file_(::open(path_.c_str(), O_RDWR | O_CREAT | O_CLOEXEC | O_NOFOLLOW, 0666)) {
        if (file_.get() < 0) {
            problem_ = errno;
        } else if (::flock(file_.get(), LOCK_EX | LOCK_NB) < 0 && errno == EWOULDBLOCK) {
            problem_ = EBUSY;
        } else {
            ours_ = true;
            if (::ftruncate(file_.get(), 0) < 0) problem_ = errno;
        }
    }
    Draft(const Draft&) = delete;
    Draft& operator=(const Draft&) = delete;
    ~Draft() {
        if (ours_) ::unlink(path_.c_str());
    }
    int file() const { return file_.get(); }
    int problem() const { return problem_; } // errno; 0 = none

    // 0 or an errno; EEXIST if something has come to stand there.
    int place_at(const std::string& to) {
        if (::renameat2(AT_FDCWD, path_.c_str(), AT_FDCWD, to.c_str(), RENAME_NOREPLACE) != 0) {
            if (errno != EINVAL && errno != ENOSYS) return errno;
            // A file system without that rename.
            struct stat there;
            if (::lstat(to.c_str(), &there) == 0) return EEXIST;
            if (::rename(path_.c_str(), to.c_str()) != 0) return errno;
        }
        ours_ = false;
        const files::Descriptor folder(
            ::open(fs::path(to).parent_path().c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC));
        return folder.get() < 0 ? 0 : files::flush_to_disk(folder.get());
    }

  private:
    std::string path_;
    files::Descriptor file_;
    bool ours_ = false;
    int problem_ = 0;
};

struct Read {
    int read_problem = 0, write_problem = 0; // errno
    bool stop = false;
    std::string hash;
};

// Reads a file from its beginning to its end and writes it to another, if there is one.
Read read_through(int from, int to, const CopyWork& work) {
    Read result;
    files::StreamHash hash;
    std::vector<char> block(1 << 20);
    while (true) {
        if (work.stop.stop_requested()) {
            result.stop = true;
            return result;
        }
        const auto count = ::read(from, block.data(), block.size());
        if (count < 0 && errno == EINTR) continue;
        if (count < 0) {
            result.read_problem = errno;
            return result;
        }
        if (count == 0) break;
        const std::string_view piece(block.data(), static_cast<std::size_t>(count));
        hash.add(piece);
        if (to >= 0) result.write_problem = files::write_all(to, piece);
        if (result.write_problem != 0) return result;
        if (work.progress) work.progress(piece.size());
    }
    result.hash = hash.digits();
    return result;
}

// As the disk has it, not as memory still remembers it.
Read read_from_disk(int file, const CopyWork& work) {
    ::posix_fadvise(file, 0, 0, POSIX_FADV_DONTNEED);
    if (::lseek(file, 0, SEEK_SET) < 0) return {.read_problem = errno, .hash = {}};
    return read_through(file, -1, work);
}

CopiedFile unreadable(int problem) {
    return {Copied::unreadable, std::strerror(problem)};
}

Result<CopiedFile> compare(int from, const struct stat& status, const std::string& to, const CopyWork& work) {
    const files::Descriptor there(::open(to.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK));
    struct stat other;
    if (there.get() < 0 || ::fstat(there.get(), &other) != 0 || !S_ISREG(other.st_mode) ||
        other.st_size != status.st_size)
        return CopiedFile{Copied::other_there, ""};
    const auto mine = read_through(from, -1, work);
    if (mine.stop) return stopped;
    if (mine.read_problem != 0) return unreadable(mine.read_problem);
    const auto theirs = read_from_disk(there.get(), work);
    if (theirs.stop) return stopped;
    const bool same = theirs.read_problem == 0 && theirs.hash == mine.hash;
    return CopiedFile{same ? Copied::kept : Copied::other_there, ""};
}

} // namespace

Result<CopiedFile> copy_checked(const std::string& from, const std::string& to, const CopyWork& work) {
    const files::Descriptor source(::open(from.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK));
    struct stat status;
    if (source.get() < 0 || ::fstat(source.get(), &status) != 0) return unreadable(errno);
    if (struct stat there; ::lstat(to.c_str(), &there) == 0) return compare(source.get(), status, to, work);

    Draft draft(to);
    if (draft.problem() == EBUSY)
        return Error{Fault::cannot_write, "another run is writing this file; wait until it has ended", to};
    if (draft.problem() != 0) return files::cannot_write(to, draft.problem());
    const auto read = read_through(source.get(), draft.file(), work);
    if (read.stop) return stopped;
    if (read.read_problem != 0) return unreadable(read.read_problem);
    if (read.write_problem != 0) return files::cannot_write(to, read.write_problem);
    const timespec times[2]{status.st_atim, status.st_mtim};
    ::futimens(draft.file(), times); // a file system may hold no such times
    if (const int problem = files::flush_to_disk(draft.file())) return files::cannot_write(to, problem);
    const auto copy = read_from_disk(draft.file(), work);
    if (copy.stop) return stopped;
    if (copy.read_problem != 0 || copy.hash != read.hash)
        return Error{
            Fault::cannot_write,
            "the copy read again from the disk is not what was written; check the disk, or copy to another",
            to};
    if (const int problem = draft.place_at(to); problem == EEXIST)
        return CopiedFile{Copied::other_there, ""};
    else if (problem != 0)
        return files::cannot_write(to, problem);
    return CopiedFile{};
}

} // namespace downball::pipeline
