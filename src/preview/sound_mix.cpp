// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "preview/sound_mix.h"

#include "preview/shown.h"

#include "downball/dsp/loudness.h"
#include "downball/media/audio_reader.h"
#include "downball/media/coded_sound.h"
#include "downball/media/sound_parts.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <map>
#include <numbers>

namespace downball::preview {

namespace {

// Natural sound is hardly ever further off its place than this; more is hiss, or silence.
constexpr double most_gain_db = 20;
constexpr double silent_lufs = -69.9;

struct Clip {
    const AudioEvent* event;
    std::int64_t first = 0; // sample of the record
    Stereo samples;

    std::int64_t length() const { return static_cast<std::int64_t>(samples[0].size()); }
};

// Where in the event's file it lies.
media::SoundPart part_of(const AudioEvent& event, const Timeline& timeline, double first_s,
                         std::size_t channels) {
    const auto first = sample_at(event.record.in, timeline.rate);
    const Fraction in_s = exact_media_s(timeline.media[event.media], event.source.in, timeline.rate);
    // The sample nearest to the record frame lies up to half a sample beside it.
    const Fraction beside_s = Fraction(first, mix_hz) - seconds_of(event.record.in, timeline.rate);
    return {std::llround(((in_s + beside_s).to_double() - first_s) * mix_hz),
            sample_at(event.record.out, timeline.rate) - first, channels};
}

// All events of one file in one pass. Mono sounds on both sides; of more channels, the first two.
Result<std::vector<Clip>> read_clips(const Timeline& timeline, const std::vector<const AudioEvent*>& events,
                                     const LongWork& work) {
    auto reader = media::AudioReader::open(timeline.media[events.front()->media].path);
    if (!reader) return reader.error();
    const auto channels = static_cast<std::size_t>(std::min(2, reader->channels()));
    std::vector<media::SoundPart> parts;
    for (const AudioEvent* event : events)
        parts.push_back(part_of(*event, timeline, reader->first_s(), channels));
    if (auto read = media::read_parts(*reader, mix_hz, parts, {{}, work.stop}); !read) return read.error();
    std::vector<Clip> clips;
    for (std::size_t i = 0; i < parts.size(); ++i) {
        auto& made = parts[i].channels;
        if (channels == 1) made.push_back(made[0]);
        clips.push_back({events[i],
                         sample_at(events[i]->record.in, timeline.rate),
                         {std::move(made[0]), std::move(made[1])}});
    }
    return clips;
}

// Half a cosine, as the song as cut has it.
void fade(Clip& clip, std::int64_t length) {
    for (auto& channel : clip.samples)
        for (std::int64_t i = 0; i < std::min(length, clip.length()); ++i) {
            const double done = (static_cast<double>(i) + 0.5) / static_cast<double>(length);
            const auto gain = static_cast<float>(0.5 - 0.5 * std::cos(std::numbers::pi * done));
            channel[static_cast<std::size_t>(i)] *= gain;
            channel[static_cast<std::size_t>(clip.length() - 1 - i)] *= gain;
        }
}

void add(const Clip& clip, float gain, Stereo& to) {
    for (std::size_t c = 0; c < 2; ++c) {
        const auto size = static_cast<std::int64_t>(to[c].size());
        for (std::int64_t i = std::max<std::int64_t>(0, -clip.first);
             i < std::min(clip.length(), size - clip.first); ++i)
            to[c][static_cast<std::size_t>(clip.first + i)] +=
                gain * clip.samples[c][static_cast<std::size_t>(i)];
    }
}

using ByFile = std::map<std::size_t, std::vector<const AudioEvent*>>;

ByFile by_file(const std::vector<AudioEvent>& events) {
    ByFile files;
    for (const AudioEvent& event : events)
        files[event.media].push_back(&event);
    return files;
}

// Measures one block after another.
class Meter {
  public:
    void push(const dsp::PlanarBlock& block) {
        loudness_.push(block);
        peak_.push(block);
    }
    // In pieces, as the library holds what it is given once more.
    void push(const Stereo& sound) {
        for (std::size_t at = 0; at < sound[0].size(); at += mix_hz)
            push(StereoBlock(sound, at, std::min<std::size_t>(sound[0].size(), at + mix_hz)));
    }
    Level level() {
        return {dsp::integrated_lufs(loudness_.finish()), 20 * std::log10(std::max(1e-6, peak_.peak()))};
    }

  private:
    dsp::LoudnessMeter loudness_{mix_hz, 2};
    dsp::TruePeakMeter peak_{mix_hz, 2};
};

// Hits that tower over the song would cost all of it its loudness, so none is higher than the song's own peaks.
float natural_gain(const Level& song, const Level& natural, double under_song_lu) {
    if (song.lufs < silent_lufs || natural.lufs < silent_lufs) return 1;
    const double gain_db =
        std::min(song.lufs - under_song_lu - natural.lufs, song.true_peak_db - natural.true_peak_db);
    return static_cast<float>(std::pow(10, std::clamp(gain_db, -most_gain_db, most_gain_db) / 20));
}

} // namespace

std::int64_t sample_at(Frame record, Rate list) {
    return convert(record, list, Rate(mix_hz)).n;
}

Level level_of(const Stereo& sound) {
    Meter meter;
    meter.push(sound);
    return meter.level();
}

Result<Level> level_as_coded(const Stereo& sound, const LongWork& work) {
    if (work.stop_asked()) return stopped_in_time();
    Meter meter;
    const auto heard = media::hear_coded(StereoBlock(sound, 0, sound[0].size()),
                                         [&](const dsp::PlanarBlock& block) { meter.push(block); });
    if (!heard) return heard.error();
    return meter.level();
}

Result<Mix> mix_sound(const Timeline& timeline, double under_song_lu, const LongWork& work) {
    Mix mix;
    for (auto& channel : mix.sound)
        channel.assign(static_cast<std::size_t>(sample_at(timeline.length, timeline.rate)), 0.0f);
    for (const auto& [media, events] : by_file(timeline.song)) {
        const auto clips = read_clips(timeline, events, work);
        if (!clips) return clips.error();
        for (const Clip& clip : *clips)
            add(clip, 1, mix.sound);
    }
    std::vector<Clip> natural;
    for (const auto& [media, events] : by_file(timeline.natural)) {
        auto clips = read_clips(timeline, events, work);
        if (!clips && clips.error().fault == Fault::interrupted) return clips.error();
        if (!clips) {
            mix.notes.push_back(fmt::format("{}: the preview has no natural sound of it ({})",
                                            timeline.media[media].name, clips.error().what));
            continue;
        }
        for (Clip& clip : *clips) {
            fade(clip, sample_at(Frame{clip.event->fade_frames}, timeline.rate));
            natural.push_back(std::move(clip));
        }
    }
    Meter of_natural;
    if (work.stop_asked()) return stopped_in_time();
    for (const Clip& clip : natural) {
        if (work.stop_asked()) return stopped_in_time();
        of_natural.push(clip.samples);
    }
    const float gain = natural_gain(level_of(mix.sound), of_natural.level(), under_song_lu);
    for (const Clip& clip : natural)
        add(clip, gain, mix.sound);
    return mix;
}

} // namespace downball::preview
