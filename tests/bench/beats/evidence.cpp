// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
// What the beat tracker measures of a song, as JSON, for the fit of its weights:
//   beats_evidence readings SONG       all readings: evidence in the order of Evidence::Kind, then the profile; beats
//   beats_evidence steps SONG BEATS    what is struck in each beat of the file BEATS (seconds, tab, position a line)
#include "beats/beat_steps.h"
#include "beats/feature_stream.h"
#include "beats/onset_strength.h"
#include "beats/reading.h"
#include "beats/tempo.h"

#include <cstdio>
#include <optional>
#include <sndfile.h>
#include <string_view>
#include <vector>

using namespace downball;
using namespace downball::beats;

namespace {

// With all its channels, as the program hears it.
std::optional<SongFeatures> features_of(const char* path) {
    SF_INFO info{};
    SNDFILE* file = sf_open(path, SFM_READ, &info);
    if (!file) {
        std::fprintf(stderr, "%s: %s\n", path, sf_strerror(nullptr));
        return std::nullopt;
    }
    const auto count = static_cast<std::size_t>(info.channels);
    std::vector<float> samples(static_cast<std::size_t>(info.frames) * count);
    const auto frames = static_cast<std::size_t>(sf_readf_float(file, samples.data(), info.frames));
    sf_close(file);
    std::vector<std::vector<float>> channels(count, std::vector<float>(frames));
    std::vector<const float*> heads;
    for (std::size_t c = 0; c < count; ++c) {
        for (std::size_t i = 0; i < frames; ++i)
            channels[c][i] = samples[i * count + c];
        heads.push_back(channels[c].data());
    }
    FeatureStream stream(info.samplerate, info.channels);
    if (const auto taken = stream.push({heads, frames}); !taken) {
        std::fprintf(stderr, "%s: %s\n", path, to_string(taken.error()).c_str());
        return std::nullopt;
    }
    return stream.finish();
}

void print_readings(const SongFeatures& song) {
    const OnsetStrength onsets = onset_strength(song);
    const BeatOptions options;
    const char* before = "[";
    for (const Reading& reading : readings(onsets, guess_tempi(onsets, options), options)) {
        const char* comma = "";
        std::printf("%s{\"evidence\":[", before);
        for (double x : reading.evidence.value) {
            std::printf("%s%.6g", comma, x);
            comma = ",";
        }
        for (const auto& row : reading.evidence.profile)
            for (double x : row)
                std::printf(",%.4g", x);
        std::printf("],\"ruled_out\":%.4g,\"beats\":[", reading.evidence.ruled_out);
        comma = "";
        for (double frame : reading.frames) {
            std::printf("%s%.5f", comma, frame * song.frame_s);
            comma = ",";
        }
        std::printf("]}");
        before = ",\n";
    }
    std::puts(*before == '[' ? "[]" : "]");
}

int print_steps(const SongFeatures& song, const char* path) {
    std::FILE* file = std::fopen(path, "r");
    if (!file) {
        std::fprintf(stderr, "%s: cannot be read\n", path);
        return 1;
    }
    std::vector<double> frames;
    double seconds = 0;
    int position = 0;
    while (std::fscanf(file, "%lf %d", &seconds, &position) == 2)
        if (seconds < song.duration_s - 0.1) frames.push_back(seconds / song.frame_s);
    std::fclose(file);
    if (frames.size() < 2) {
        std::fprintf(stderr, "%s: holds fewer than two beats of the song\n", path);
        return 1;
    }
    frames.push_back(2 * frames.back() - frames[frames.size() - 2]); // where the last beat ends
    const BeatSteps steps = beat_steps(onset_strength(song), frames);
    std::printf("{\"beats\":%zu,\"steps\":[", steps.beats);
    const char* comma = "";
    for (float x : steps.value) {
        std::printf("%s%.3g", comma, static_cast<double>(x));
        comma = ",";
    }
    std::puts("]}");
    return 0;
}

} // namespace

int main(int argc, char** argv) {
    const std::string_view mode = argc > 1 ? argv[1] : "";
    if (!(mode == "readings" && argc == 3) && !(mode == "steps" && argc == 4)) {
        std::fputs("usage: beats_evidence readings SONG | beats_evidence steps SONG BEATS\n", stderr);
        return 2;
    }
    const auto song = features_of(argv[2]);
    if (!song) return 1;
    if (mode == "steps") return print_steps(*song, argv[3]);
    print_readings(*song);
    return 0;
}
