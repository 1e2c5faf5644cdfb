// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/media/content_id.h"

#include "media/input.h"

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstdio>
#include <cstring>
#include <fmt/format.h>
#include <memory>
#include <optional>
#include <vector>
#include <xxhash.h>

namespace downball::media {

namespace {

constexpr std::uint64_t block_bytes = 1 << 20;
constexpr std::uint64_t blocks = wholly_hashed_bytes / block_bytes;

struct FreeHash {
    void operator()(XXH3_state_t* state) const { XXH3_freeState(state); }
};

// `read(at, count)` gives the bytes there, or null where it cannot.
template <class Read>
std::optional<std::string> hash_of(std::uint64_t bytes, Read read) {
    const std::unique_ptr<XXH3_state_t, FreeHash> hash(XXH3_createState());
    XXH3_64bits_reset(hash.get());
    std::array<unsigned char, 8> size{};
    for (std::size_t i = 0; i < size.size(); ++i)
        size[i] = static_cast<unsigned char>(bytes >> (8 * i) & 0xff);
    XXH3_64bits_update(hash.get(), size.data(), size.size());

    const bool whole = bytes <= blocks * block_bytes;
    const std::uint64_t count = whole ? (bytes + block_bytes - 1) / block_bytes : blocks;
    for (std::uint64_t i = 0; i < count; ++i) {
        const auto step = whole ? block_bytes : (bytes - block_bytes) / (blocks - 1);
        const auto at = !whole && i + 1 == blocks ? bytes - block_bytes : i * step;
        const auto wanted = static_cast<std::size_t>(std::min(block_bytes, bytes - at));
        const void* block = read(at, wanted);
        if (!block) return std::nullopt;
        XXH3_64bits_update(hash.get(), block, wanted);
    }
    return fmt::format("{:016x}", XXH3_64bits_digest(hash.get()));
}

} // namespace

Result<std::string> content_id(const std::string& path) {
    const auto bytes = check_file(path);
    if (!bytes) return bytes.error();
    const auto refuse = [&] {
        return Error{Fault::bad_input, fmt::format("cannot be read ({})", std::strerror(errno)), path};
    };
    const std::unique_ptr<std::FILE, int (*)(std::FILE*)> file(std::fopen(path.c_str(), "rb"), std::fclose);
    if (!file) return refuse();
    std::vector<unsigned char> block(block_bytes);
    const auto id = hash_of(*bytes, [&](std::uint64_t at, std::size_t wanted) -> const void* {
        if (fseeko(file.get(), static_cast<off_t>(at), SEEK_SET) != 0) return nullptr;
        return std::fread(block.data(), 1, wanted, file.get()) == wanted ? block.data() : nullptr;
    });
    if (!id) return refuse();
    return *id;
}

std::string content_id_of(std::string_view content) {
    return *hash_of(content.size(),
                    [&](std::uint64_t at, std::size_t) -> const void* { return content.data() + at; });
}

} // namespace downball::media
