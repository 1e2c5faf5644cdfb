// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/impacts/onset_peer.h"

#define AUBIO_UNSTABLE 1 // for its peak picker alone
#include <algorithm>
#include <aubio/aubio.h>
#include <cmath>
#include <cstdio>
#include <memory>

namespace downball::bench {

namespace {

constexpr uint_t window = 1024, hop = 256;

template <auto destroy>
struct Destroyer {
    template <class T>
    void operator()(T* it) const {
        destroy(it);
    }
};
using Onset = std::unique_ptr<aubio_onset_t, Destroyer<del_aubio_onset>>;
using Picker = std::unique_ptr<aubio_peakpicker_t, Destroyer<del_aubio_peakpicker>>;
using Vector = std::unique_ptr<fvec_t, Destroyer<del_fvec>>;

void downmix(const test::MixedClip& clip, std::size_t at, fvec_t& into) {
    for (uint_t i = 0; i < hop; ++i) {
        float sum = 0;
        for (const auto& c : clip.channels)
            sum += c[at + i];
        into.data[i] = sum / static_cast<float>(clip.channels.size());
    }
}

// What a method hears, hop by hop, and what it makes of a peak.
struct Curve {
    std::vector<float> values;
    std::vector<bool> silent;
    uint_t delay = 0, least_gap = 0; // samples
    int rate_hz = 0;
};

// aubio's own peaks of the curve at a threshold, placed as aubio_onset_do places them: a peak in silence is
// none, nor one too soon after the last, and a file may begin with an onset.
Found peaks(const Curve& curve, float threshold) {
    const Picker picker(new_aubio_peakpicker());
    aubio_peakpicker_set_threshold(picker.get(), threshold);
    const Vector value(new_fvec(1)), peak(new_fvec(1));
    Found found;
    uint_t last = 0, now = 0;
    const auto tell = [&](uint_t at) {
        last = at;
        found.push_back({static_cast<double>(at - curve.delay) / curve.rate_hz, 1, 1});
    };
    for (std::size_t i = 0; i < curve.values.size(); ++i, now += hop) {
        value->data[0] = curve.values[i];
        aubio_peakpicker_do(picker.get(), value.get(), peak.get());
        if (curve.silent[i]) continue;
        if (const float place = peak->data[0]; place > 0) {
            const auto at = now + static_cast<uint_t>(std::floor(place * hop + 0.5f));
            if (last + curve.least_gap >= at || (last > 0 && curve.delay > at)) continue;
            tell(std::max(at, curve.delay));
        } else if (now <= curve.delay && (now == 0 || last + curve.least_gap < now)) {
            tell(now + curve.delay);
        }
    }
    return found;
}

bool same(const Found& a, const Found& b) {
    return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                      [](const Heard& x, const Heard& y) { return std::abs(x.sound_s - y.sound_s) < 1e-6; });
}

} // namespace

Onsets hear_onsets(const std::string& method, const test::MixedClip& clip) {
    Onsets heard;
    Curve curve;
    const double begin_s = cpu_s();
    curve.rate_hz = clip.rate_hz;
    const Onset onset(new_aubio_onset(method.c_str(), window, hop, static_cast<uint_t>(clip.rate_hz)));
    const Vector in(new_fvec(hop)), out(new_fvec(1));
    const float silence_db = aubio_onset_get_silence(onset.get());
    for (std::size_t at = 0; at + hop <= clip.channels[0].size(); at += hop) {
        downmix(clip, at, *in);
        aubio_onset_do(onset.get(), in.get(), out.get());
        if (out->data[0] > 0)
            heard.own.push_back(
                {static_cast<double>(aubio_onset_get_last(onset.get())) / clip.rate_hz, 1, 1});
        curve.values.push_back(aubio_onset_get_descriptor(onset.get()));
        curve.silent.push_back(aubio_silence_detection(in.get(), silence_db) == 1);
    }
    heard.cpu_s = cpu_s() - begin_s;
    curve.delay = aubio_onset_get_delay(onset.get());
    curve.least_gap = aubio_onset_get_minioi(onset.get());
    if (!same(heard.own, peaks(curve, aubio_onset_get_threshold(onset.get())))) {
        std::fprintf(stderr,
                     "aubio's %s: its onsets are not the peaks of its curve; another aubio than 0.4.9?\n",
                     method.c_str());
        std::exit(1);
    }
    for (std::size_t i = 0; i < thresholds.size(); ++i)
        heard.other[i] = peaks(curve, thresholds[i]);
    return heard;
}

} // namespace downball::bench
