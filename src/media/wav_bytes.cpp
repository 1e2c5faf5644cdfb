// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "media/wav_bytes.h"

#include <algorithm>
#include <cstring>
#include <fmt/format.h>
#include <memory>
#include <sndfile.h>

namespace downball::media {

namespace {

constexpr std::size_t largest_wav = 0xffff0000u; // its sizes have 32 bits; the head needs some room

struct Memory {
    std::string bytes;
    std::size_t at = 0;
};

sf_count_t length_of(void* user) {
    return static_cast<sf_count_t>(static_cast<Memory*>(user)->bytes.size());
}

sf_count_t seek_in(sf_count_t offset, int whence, void* user) {
    auto& memory = *static_cast<Memory*>(user);
    const auto base = whence == SEEK_SET   ? sf_count_t{0}
                      : whence == SEEK_CUR ? static_cast<sf_count_t>(memory.at)
                                           : length_of(user);
    memory.at = static_cast<std::size_t>(std::max<sf_count_t>(0, base + offset));
    return static_cast<sf_count_t>(memory.at);
}

sf_count_t read_from(void* to, sf_count_t count, void* user) {
    auto& memory = *static_cast<Memory*>(user);
    const auto there = memory.bytes.size() - std::min(memory.at, memory.bytes.size());
    const auto taken = std::min(there, static_cast<std::size_t>(count));
    std::memcpy(to, memory.bytes.data() + memory.at, taken);
    memory.at += taken;
    return static_cast<sf_count_t>(taken);
}

sf_count_t write_to(const void* from, sf_count_t count, void* user) {
    auto& memory = *static_cast<Memory*>(user);
    const auto size = static_cast<std::size_t>(count);
    if (memory.bytes.size() < memory.at + size) memory.bytes.resize(memory.at + size);
    std::memcpy(memory.bytes.data() + memory.at, from, size);
    memory.at += size;
    return count;
}

sf_count_t place_in(void* user) {
    return static_cast<sf_count_t>(static_cast<Memory*>(user)->at);
}

} // namespace

Result<std::string> wav_bytes(const std::vector<std::int32_t>& samples, int channels, int rate_hz) {
    if (samples.size() > largest_wav / 3)
        return Error{Fault::bad_input,
                     "the song as cut is longer than a WAV file can hold (4 GiB); ask for a shorter cut, or "
                     "say --song original",
                     ""};
    Memory memory;
    memory.bytes.reserve(samples.size() * 3 + 128);
    SF_VIRTUAL_IO io{length_of, seek_in, read_from, write_to, place_in};
    SF_INFO info{};
    info.samplerate = rate_hz;
    info.channels = channels;
    info.format = SF_FORMAT_WAV | SF_FORMAT_PCM_24;
    const auto refused = [](SNDFILE* file) {
        return Error{Fault::internal, fmt::format("libsndfile writes no WAV: {}", sf_strerror(file)), ""};
    };
    SNDFILE* file = sf_open_virtual(&io, SFM_WRITE, &info, &memory);
    if (!file) return refused(nullptr);
    std::unique_ptr<SNDFILE, int (*)(SNDFILE*)> closing(file, sf_close);
    // The library takes the upper 24 of 32 bits.
    std::vector<int> block;
    constexpr std::size_t block_size = 1 << 16;
    for (std::size_t at = 0; at < samples.size(); at += block.size()) {
        block.clear();
        for (std::size_t i = at; i < std::min(samples.size(), at + block_size); ++i)
            block.push_back(samples[i] * 256);
        const auto count = static_cast<sf_count_t>(block.size());
        if (sf_write_int(file, block.data(), count) != count) return refused(file);
    }
    closing.reset(); // the head gets its sizes now
    return std::move(memory.bytes);
}

} // namespace downball::media
