// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/files/files.h"

#include "downball/files/raw_file.h"
#include "downball/files/stream_hash.h"

#include <cerrno>
#include <cstring>
#include <fcntl.h>
#include <filesystem>
#include <fmt/format.h>
#include <fstream>
#include <iterator>
#include <sys/stat.h>
#include <unistd.h>

namespace downball::files {

namespace {

namespace fs = std::filesystem;

constexpr std::uintmax_t largest_text = 256u << 20;

} // namespace

Result<std::string> read_text(const std::string& path) {
    std::error_code problem;
    const auto status = fs::status(path, problem);
    if (!fs::exists(status)) return Error{Fault::bad_input, "there is no such file; check the path", path};
    if (fs::is_directory(status))
        return Error{Fault::bad_input, "this is a folder; a file was expected", path};
    const auto size = fs::file_size(path, problem);
    if (!problem && size > largest_text)
        return Error{Fault::bad_input, "this text file is larger than 256 MiB; is it the right one?", path};
    std::ifstream file(path, std::ios::binary);
    if (!file)
        return Error{Fault::bad_input, fmt::format("cannot read this file: {}", std::strerror(errno)), path};
    std::string content{std::istreambuf_iterator<char>(file), {}};
    if (file.bad())
        return Error{Fault::bad_input, "reading this file broke off; is the disk all right?", path};
    return content;
}

std::string content_hash(std::string_view content) {
    StreamHash hash;
    hash.add(content);
    return hash.digits();
}

Result<std::string> file_hash(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    StreamHash hash;
    std::vector<char> block(1 << 16);
    while (file.read(block.data(), static_cast<std::streamsize>(block.size())) || file.gcount() > 0)
        hash.add({block.data(), static_cast<std::size_t>(file.gcount())});
    if (!file.eof() || file.bad())
        return Error{Fault::bad_input, fmt::format("cannot read this file: {}", std::strerror(errno)), path};
    return hash.digits();
}

Result<void> replace_file(const std::string& path, std::string_view content) {
    const fs::path place(path);
    std::string temporary;
    int opened = -1;
    // Two machines may have processes of one number: whoever comes second takes another name.
    for (int attempt = 0; opened < 0 && attempt < 1000; ++attempt) {
        temporary = (place.parent_path() /
                     fmt::format(".{}.{}.{}.part", place.filename().string(), ::getpid(), attempt))
                        .string();
        opened = ::open(temporary.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
        if (opened < 0 && errno != EEXIST) break;
    }
    if (opened < 0) return cannot_write(path, errno);
    Descriptor file(opened);
    int problem = write_all(file.get(), content);
    if (file.close() < 0 && problem == 0) problem = errno;
    if (problem == 0 && ::rename(temporary.c_str(), path.c_str()) < 0) problem = errno;
    if (problem == 0) return {};
    ::unlink(temporary.c_str());
    return cannot_write(path, problem);
}

OutputSet::~OutputSet() {
    for (const auto& file : pending_)
        ::unlink(file.temporary.c_str());
}

Result<std::string> OutputSet::reserve(const std::string& path) {
    std::error_code ignored;
    // A link stays one; what it points to is written anew.
    auto target = fs::path(path);
    if (fs::is_symlink(target, ignored))
        if (auto there = fs::canonical(target, ignored); !there.empty()) target = std::move(there);
    if (fs::is_directory(target, ignored))
        return Error{Fault::cannot_write, "a folder stands where this file should go; move it away", path};
    for (const auto& file : pending_)
        if (file.path == target) return file.temporary;
    // The process id keeps two runs from writing into each other's file.
    const auto temporary =
        (target.parent_path() / fmt::format(".{}.{}.part", target.filename().string(), ::getpid())).string();
    pending_.push_back({temporary, target.string()});
    return temporary;
}

Result<void> OutputSet::add(const std::string& path, std::string_view content) {
    const auto temporary = reserve(path);
    if (!temporary) return temporary.error();
    Descriptor file(::open(temporary->c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0666));
    if (file.get() < 0) return cannot_write(path, errno);
    if (const int problem = write_all(file.get(), content)) return cannot_write(path, problem);
    if (const int problem = flush_to_disk(file.get())) return cannot_write(path, problem);
    if (file.close() < 0) return cannot_write(path, errno);
    return {};
}

Result<void> OutputSet::commit() {
    // A hard link keeps each old file until all the new ones stand, so that a rename that fails half-way can be
    // taken back.
    std::vector<std::pair<std::string, std::string>> kept; // old file's other name, its place
    std::vector<std::string> fresh;                        // placed where nothing stood
    for (std::size_t i = 0; i < pending_.size(); ++i) {
        const auto& [temporary, path] = pending_[i];
        // Who may read a log stays as it was; a file system without rights keeps its own.
        if (struct stat before; ::stat(path.c_str(), &before) == 0)
            ::chmod(temporary.c_str(), before.st_mode & 07777);
        const auto old = temporary + ".old";
        ::unlink(old.c_str());
        if (::link(path.c_str(), old.c_str()) == 0)
            kept.emplace_back(old, path);
        else if (errno == ENOENT)
            fresh.push_back(path);
        if (::rename(temporary.c_str(), path.c_str()) == 0) continue;
        const int problem = errno;
        for (const auto& [name, place] : kept)
            ::rename(name.c_str(), place.c_str());
        for (const auto& place : fresh)
            if (place != path) ::unlink(place.c_str());
        return cannot_write(path, problem);
    }
    for (const auto& [name, place] : kept)
        ::unlink(name.c_str());
    pending_.clear();
    return {};
}

Result<void> make_folder(const std::string& path) {
    std::error_code problem;
    if (fs::exists(path, problem) && !fs::is_directory(path, problem))
        return Error{Fault::cannot_write,
                     "a file stands where this folder should go; move it away or name another folder", path};
    fs::create_directories(path, problem);
    if (problem) return cannot_write(path, problem.value());
    return {};
}

} // namespace downball::files
