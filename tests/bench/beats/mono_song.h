// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdio>
#include <sndfile.h>
#include <string>
#include <vector>

namespace downball::bench {

struct MonoSong {
    std::vector<float> samples;
    int rate_hz = 0;
};

// The mean of all channels; no samples, and a line on stderr, where the file cannot be read.
inline MonoSong read_mono(const char* path) {
    MonoSong song;
    SF_INFO info{};
    SNDFILE* file = sf_open(path, SFM_READ, &info);
    if (!file) {
        std::fprintf(stderr, "%s: %s\n", path, sf_strerror(nullptr));
        return song;
    }
    song.rate_hz = info.samplerate;
    std::vector<float> block(static_cast<std::size_t>(4096 * info.channels));
    for (sf_count_t got; (got = sf_readf_float(file, block.data(), 4096)) > 0;)
        for (sf_count_t i = 0; i < got; ++i) {
            float sum = 0;
            for (int c = 0; c < info.channels; ++c)
                sum += block[static_cast<std::size_t>(i * info.channels + c)];
            song.samples.push_back(sum / static_cast<float>(info.channels));
        }
    sf_close(file);
    return song;
}

// One beat a line as downball prints it; position 1 = downbeat, 0 = not known.
inline void print_beat(double seconds, int position) {
    std::printf("%.6f\t%d\n", seconds, position);
}

} // namespace downball::bench
