// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "files.h"

#include <cerrno>
#include <cstring>
#include <fstream>

namespace downball::sample {

Result<void> write_text(const std::string& path, const std::string& text) {
    std::ofstream file(path, std::ios::binary);
    file.write(text.data(), static_cast<std::streamsize>(text.size()));
    file.close();
    if (!file)
        return Error{Fault::cannot_write, std::string("could not be written: ") + std::strerror(errno), path};
    return {};
}

Result<void> write_wav(const std::string& path, std::span<const float> left, std::span<const float> right) {
    const unsigned channels = right.empty() ? 1 : 2;
    std::string out = "RIFF";
    const auto word = [&](std::uint32_t value, int bytes) {
        for (int i = 0; i < bytes; ++i)
            out.push_back(static_cast<char>(value >> (8 * i) & 0xFF));
    };
    const auto data = static_cast<std::uint32_t>(left.size() * channels * 2);
    word(36 + data, 4);
    out += "WAVEfmt ";
    word(16, 4);
    word(1, 2);
    word(channels, 2);
    word(audio_rate, 4);
    word(audio_rate * channels * 2, 4);
    word(channels * 2, 2);
    word(16, 2);
    out += "data";
    word(data, 4);
    const auto sample = [&](float x) {
        word(static_cast<std::uint16_t>(std::lround(std::clamp(double(x), -1.0, 1.0) * 32767)), 2);
    };
    for (std::size_t i = 0; i < left.size(); ++i) {
        sample(left[i]);
        if (channels == 2) sample(right[i]);
    }
    return write_text(path, out);
}

} // namespace downball::sample
