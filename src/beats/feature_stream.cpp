// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "beats/feature_stream.h"

#include "beats/band_layout.h"
#include "beats/framer.h"
#include "beats/power_spectrum.h"
#include "beats/song_loudness.h"

#include "downball/dsp/resample.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <fmt/format.h>

namespace downball::beats {

namespace {

struct Channel {
    dsp::Decimator decimate;
    dsp::Decimator decimate_low;
    Framer wide, low, tonal;
    double dc_in = 0, dc_out = 0; // one-pole high-pass against DC
    bool started = false;
    float before = 0; // last sample, for the difference that stands for high frequencies
    std::array<double, SongFeatures::fine_kinds> cell{};
    std::size_t in_cell = 0, in_low_cell = 0;
    std::vector<float> work, work_low;

    explicit Channel(const AnalysisRates& r)
        : decimate(r.factor), decimate_low(r.low_factor), wide(r.wide_size, r.hop),
          low(r.low_size, r.hop / static_cast<std::size_t>(r.low_factor)), tonal(r.tonal_size, r.tonal_hop) {}
};

void add(std::vector<float>& sums, std::size_t at, double value) {
    if (at >= sums.size()) sums.resize(at + 1, 0.0f);
    sums[at] += static_cast<float>(value);
}

} // namespace

struct FeatureStream::State {
    AnalysisRates rates;
    BandLayout layout;
    PowerSpectrum wide, low, tonal;
    SongLoudness loudness;
    std::vector<Channel> channels;
    std::vector<float> wide_sum, low_sum, tonal_sum;
    SongFeatures out;
    std::uint64_t samples = 0; // taken, at the song's own rate
    std::size_t fine_cells = 0, fine_low_cells = 0, tonal_frames = 0;

    State(int rate_hz, int channel_count)
        : rates(analysis_rates(rate_hz)), layout(rates), wide(rates.wide_size), low(rates.low_size),
          tonal(rates.tonal_size), loudness(rates, static_cast<std::size_t>(channel_count)) {
        for (int c = 0; c < channel_count; ++c)
            channels.emplace_back(rates);
        out.frame_s = static_cast<double>(rates.hop) / rates.rate_hz;
        out.fine_s = static_cast<double>(rates.cell) / rates.rate_hz;
        out.tonal_s = static_cast<double>(rates.tonal_hop) * rates.low_factor / rates.rate_hz;
        out.bands = layout.bands();
        out.low_bands = layout.low_bands();
        out.band_hz = layout.centres();
        out.tones = layout.tones();
    }

    void meter();
    void take(Channel& c);
    void take_low(Channel& c);
    void analyse(std::size_t frame_limit, std::size_t tonal_limit);
};

// New samples of all channels in their work, before anything is taken out of them.
void FeatureStream::State::meter() {
    std::vector<const float*> all;
    for (const Channel& c : channels)
        all.push_back(c.work.data());
    loudness.push_decimated({all, channels.front().work.size()});
}

// New samples of one channel in c.work: DC taken out, fine cells summed, then on to the framers.
void FeatureStream::State::take(Channel& c) {
    const double keep = 1.0 - 2.0 * 3.141592653589793 * 15.0 / rates.rate_hz; // -3 dB at 15 Hz
    std::size_t cell = fine_cells;
    for (float& x : c.work) {
        if (!c.started) {
            c.dc_in = x; // a constant from the first sample on is no onset
            c.started = true;
        }
        c.dc_out = keep * c.dc_out + x - c.dc_in;
        c.dc_in = x;
        x = static_cast<float>(c.dc_out);
        const float step = x - c.before;
        c.before = x;
        c.cell[SongFeatures::fine_all] += static_cast<double>(x) * x;
        c.cell[SongFeatures::fine_high] += static_cast<double>(step) * step;
        if (++c.in_cell == rates.cell) {
            for (const auto kind : {SongFeatures::fine_all, SongFeatures::fine_high}) {
                add(out.fine[kind], cell, c.cell[kind]);
                c.cell[kind] = 0;
            }
            c.in_cell = 0;
            ++cell;
        }
    }
    c.wide.push(c.work);
    c.work_low.clear();
    c.decimate_low.push(c.work, c.work_low);
    take_low(c);
}

void FeatureStream::State::take_low(Channel& c) {
    std::size_t cell = fine_low_cells;
    for (const float x : c.work_low) {
        c.cell[SongFeatures::fine_low] += static_cast<double>(x) * x;
        if (++c.in_low_cell == rates.cell / static_cast<std::size_t>(rates.low_factor)) {
            add(out.fine[SongFeatures::fine_low], cell, c.cell[SongFeatures::fine_low]);
            c.cell[SongFeatures::fine_low] = 0;
            c.in_low_cell = 0;
            ++cell;
        }
    }
    c.low.push(c.work_low);
    c.tonal.push(c.work_low);
}

// All frames that every channel has complete, up to the limits.
void FeatureStream::State::analyse(std::size_t frame_limit, std::size_t tonal_limit) {
    const auto pool = [&](Framer Channel::*framer, PowerSpectrum& spectrum, std::vector<float>& sum) {
        sum.assign(spectrum.size() / 2 + 1, 0.0f);
        for (Channel& c : channels) {
            const auto power = spectrum.of((c.*framer).frame());
            for (std::size_t i = 0; i < sum.size(); ++i)
                sum[i] += power[i];
            (c.*framer).advance();
        }
    };
    while (out.frames < frame_limit && channels.front().wide.ready() && channels.front().low.ready()) {
        pool(&Channel::wide, wide, wide_sum);
        pool(&Channel::low, low, low_sum);
        layout.append_bands(low_sum, wide_sum, out.band_power);
        out.loudness.push_back(layout.loudness(wide_sum));
        ++out.frames;
    }
    while (tonal_frames < tonal_limit && channels.front().tonal.ready()) {
        pool(&Channel::tonal, tonal, tonal_sum);
        layout.append_tones(tonal_sum, out.tone_power);
        ++tonal_frames;
    }
}

FeatureStream::FeatureStream(int rate_hz, int channels)
    : state_(std::make_unique<State>(std::max(1, rate_hz), std::max(1, channels))) {}
FeatureStream::FeatureStream(FeatureStream&&) noexcept = default;
FeatureStream& FeatureStream::operator=(FeatureStream&&) noexcept = default;
FeatureStream::~FeatureStream() = default;

Result<void> FeatureStream::push(const dsp::PlanarBlock& block) {
    State& s = *state_;
    if (block.frames == 0) return {};
    for (std::size_t i = 0; i < s.channels.size(); ++i) {
        const std::span<const float> in(block.channels[i], block.frames);
        const auto bad = std::find_if(in.begin(), in.end(), [](float x) { return !std::isfinite(x); });
        if (bad == in.end()) continue;
        const std::uint64_t place = s.samples + static_cast<std::uint64_t>(bad - in.begin());
        return Error{
            Fault::bad_input,
            fmt::format("sample {} of channel {} is no finite number; export the song again", place, i + 1),
            fmt::format("{:.3f} s", static_cast<double>(place) / s.rates.song_rate_hz)};
    }
    s.samples += block.frames;
    for (std::size_t i = 0; i < s.channels.size(); ++i) {
        Channel& c = s.channels[i];
        c.work.clear();
        c.decimate.push({block.channels[i], block.frames}, c.work);
        s.loudness.push_whole(i, {block.channels[i], block.frames});
    }
    s.meter();
    for (Channel& c : s.channels)
        s.take(c);
    s.fine_cells = s.out.fine[SongFeatures::fine_all].size();
    s.fine_low_cells = s.out.fine[SongFeatures::fine_low].size();
    s.analyse(SIZE_MAX, SIZE_MAX);
    return {};
}

SongFeatures FeatureStream::finish() {
    State& s = *state_;
    const auto whole = static_cast<std::size_t>(s.samples / static_cast<std::uint64_t>(s.rates.factor));
    for (Channel& c : s.channels) {
        c.work.clear();
        c.decimate.finish(c.work);
    }
    s.meter();
    for (Channel& c : s.channels)
        s.take(c);
    s.out.loudness_curve = s.loudness.finish();
    s.fine_low_cells = s.out.fine[SongFeatures::fine_low].size();
    for (Channel& c : s.channels) {
        c.work_low.clear();
        c.decimate_low.finish(c.work_low);
        s.take_low(c);
        c.wide.pad();
        c.low.pad();
        c.tonal.pad();
    }
    s.analyse(whole / s.rates.hop + 1,
              whole / (s.rates.tonal_hop * static_cast<std::size_t>(s.rates.low_factor)) + 1);
    std::size_t cells = SIZE_MAX;
    for (const auto& fine : s.out.fine)
        cells = std::min(cells, fine.size());
    for (auto& fine : s.out.fine)
        fine.resize(cells);
    s.out.duration_s = static_cast<double>(s.samples) / s.rates.song_rate_hz;
    return std::move(s.out);
}

} // namespace downball::beats
