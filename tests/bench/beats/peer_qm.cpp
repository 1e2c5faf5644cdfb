// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
// QM-DSP: complex spectral difference every 11.6 ms, TempoTrackV2, and DownBeat with four beats a bar. The
// tracker is meant to be given the curve without its first two values, which follow on silence.
#include "mono_song.h"

#include <algorithm>
#include <cmath>
#include <dsp/onsets/DetectionFunction.h>
#include <dsp/tempotracking/DownBeat.h>
#include <dsp/tempotracking/TempoTrackV2.h>
#include <set>

int main(int argc, char** argv) {
    if (argc != 2) return 2;
    const auto song = downball::bench::read_mono(argv[1]);
    if (song.samples.empty()) return 3;
    const auto rate = static_cast<float>(song.rate_hz);
    // DownBeat decimates by 16, which must divide the step.
    const auto step = static_cast<std::size_t>(16 * std::lround(0.01161 * song.rate_hz / 16));
    const std::size_t frame = 2 * step;
    DetectionFunction curve_of(
        DFConfig{static_cast<unsigned>(step), static_cast<unsigned>(frame), DF_COMPLEXSD, 3, false, -1, -1});
    DownBeat down(rate, 16, step);
    down.setBeatsPerBar(4);

    std::vector<double> curve, window(frame);
    std::vector<float> block(step);
    constexpr std::size_t dropped = 2;
    for (std::size_t at = 0, k = 0; at < song.samples.size(); at += step, ++k) {
        for (std::size_t i = 0; i < frame; ++i)
            window[i] = at + i < song.samples.size() ? static_cast<double>(song.samples[at + i]) : 0.0;
        const double value = curve_of.processTimeDomain(window.data());
        if (k >= dropped) curve.push_back(value);
        for (std::size_t i = 0; i < step; ++i)
            block[i] = static_cast<float>(window[i]);
        down.pushAudioBlock(block.data());
    }
    while (!curve.empty() && curve.back() <= 0)
        curve.pop_back();
    std::vector<double> period(curve.size(), 0.0), tempi, beats;
    TempoTrackV2 tracker(rate, step);
    tracker.calculateBeatPeriod(curve, period, tempi);
    tracker.calculateBeats(curve, period, beats);

    std::size_t length = 0;
    const float* decimated = down.getBufferedAudio(length);
    std::vector<int> downbeats;
    if (beats.size() > 8) down.findDownBeats(decimated, length, beats, downbeats);
    const std::set<int> first(downbeats.begin(), downbeats.end());
    // A frame is named by its middle, which is one step after its first sample.
    for (std::size_t i = 0; i < beats.size(); ++i)
        downball::bench::print_beat((beats[i] + 1) * static_cast<double>(step) / song.rate_hz,
                                    first.contains(static_cast<int>(i)) ? 1 : 0);
}
