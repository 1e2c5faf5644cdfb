// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
// Writes generated clips as 16-bit .wav files, and what is true of them, for containers.py.
//   impacts_clips FOLDER [clips a split = 2] [first seed = 1]
// FOLDER/clips.tsv, a line a clip: its file, the instants of its contacts, those that downball hears in the samples
// themselves; parted by tabs, instants by blanks.
#include "bench/impacts/detector.h"

#include <cmath>
#include <cstdio>
#include <sndfile.h>

using namespace downball;
using namespace downball::bench;

namespace {

bool write_wav(const std::string& path, const test::MixedClip& clip) {
    SF_INFO info{};
    info.samplerate = clip.rate_hz;
    info.channels = static_cast<int>(clip.channels.size());
    info.format = SF_FORMAT_WAV | SF_FORMAT_PCM_16;
    SNDFILE* file = sf_open(path.c_str(), SFM_WRITE, &info);
    if (!file) return false;
    std::vector<short> frames; // generated clips are whole numbers over 32768
    for (std::size_t i = 0; i < clip.channels[0].size(); ++i)
        for (const auto& c : clip.channels)
            frames.push_back(static_cast<short>(std::lround(c[i] * 32768.0f)));
    const auto count = static_cast<sf_count_t>(clip.channels[0].size());
    const bool written = sf_writef_short(file, frames.data(), count) == count;
    return sf_close(file) == 0 && written;
}

} // namespace

int main(int argc, char** argv) {
    if (argc < 2) {
        std::fprintf(stderr, "usage: impacts_clips FOLDER [clips a split] [first seed]\n");
        return 2;
    }
    const std::string folder = argv[1];
    const int clips = argc > 2 ? std::atoi(argv[2]) : 2;
    const unsigned long seed = argc > 3 ? std::strtoul(argv[3], nullptr, 10) : 1;
    FILE* list = std::fopen((folder + "/clips.tsv").c_str(), "w");
    if (!list) {
        std::fprintf(stderr, "%s: cannot write there\n", folder.c_str());
        return 5;
    }
    for (const test::Split split : test::all_splits) {
        for (int i = 0; i < clips; ++i) {
            const auto clip = test::mixed_clip(split, seed + static_cast<unsigned long>(i));
            const std::string name = std::string(test::name_of(split)) + std::to_string(i) + ".wav";
            if (!write_wav(folder + "/" + name, clip)) {
                std::fprintf(stderr, "%s/%s: cannot be written\n", folder.c_str(), name.c_str());
                return 5;
            }
            std::fprintf(list, "%s\t", name.c_str());
            for (const double t : clip.contacts)
                std::fprintf(list, "%.6f ", t);
            std::fprintf(list, "\t");
            for (const Heard& h : ours(clip))
                if (h.confidence >= impacts::default_floor) std::fprintf(list, "%.6f ", h.sound_s);
            std::fprintf(list, "\n");
        }
    }
    return std::fclose(list) == 0 ? 0 : 5;
}
