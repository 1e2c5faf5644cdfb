// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "support/recorded_sounds.h"

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <sndfile.h>
#include <string>
#include <vector>

// The bank of recorded sounds that bank.py makes.
namespace downball::bench {

inline test::Signal read_mono(const std::filesystem::path& path) {
    SF_INFO info{};
    SNDFILE* file = sf_open(path.c_str(), SFM_READ, &info);
    if (!file || info.channels != 1 || info.samplerate != 48000) {
        std::fprintf(stderr, "%s: one channel at 48 kHz expected; make the bank again with bank.py\n",
                     path.c_str());
        std::exit(3);
    }
    test::Signal samples(static_cast<std::size_t>(info.frames));
    samples.resize(static_cast<std::size_t>(sf_readf_float(file, samples.data(), info.frames)));
    sf_close(file);
    return samples;
}

// `half` is "fit" or "apart". In the order of file names, so that the same bank gives the same clips.
inline test::RecordedSounds load_bank(const std::filesystem::path& folder, const std::string& half) {
    namespace fs = std::filesystem;
    if (!fs::is_directory(folder / half)) {
        std::fprintf(stderr, "%s: no bank of sounds here; make one with bank.py\n", (folder / half).c_str());
        std::exit(3);
    }
    test::RecordedSounds sounds;
    for (const test::SoundClass sound_class : test::all_sound_classes) {
        const fs::path from = folder / half / test::name_of(sound_class);
        if (!fs::is_directory(from)) continue;
        std::vector<fs::path> paths;
        for (const auto& entry : fs::directory_iterator(from))
            if (entry.path().extension() == ".wav") paths.push_back(entry.path());
        std::sort(paths.begin(), paths.end());
        for (const fs::path& path : paths)
            sounds.by_class[static_cast<std::size_t>(sound_class)].push_back(
                {path.stem().string(), read_mono(path)});
    }
    return sounds;
}

} // namespace downball::bench
