// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/media/audio_reader.h"

#include "media/decoded_sound.h"
#include "media/song_file.h"

#include <algorithm>

namespace downball::media {

namespace {

using Source = Result<std::unique_ptr<SoundSource>>;

Source decoded(std::shared_ptr<PacketSource> source, std::optional<double> zero_s) {
    auto sound = open_decoded_sound(std::move(source), zero_s);
    if (!sound) return sound.error();
    return std::move(sound->source);
}

Source open_song(const std::string& path) {
    if (auto bytes = check_file(path); !bytes) return bytes.error();
    if (auto song = open_song_file(path)) return song;
    auto input = open_input(path);
    if (!input) return input.error();
    auto source = std::make_shared<PacketSource>(std::move(*input));
    source->pass_over_pictures();
    return decoded(std::move(source), std::nullopt);
}

Source open_clip(const std::string& path) {
    auto input = open_input(path);
    if (!input) return input.error();
    auto source = std::make_shared<PacketSource>(std::move(*input));
    if (!source->picture() || !source->sound()) return decoded(std::move(source), std::nullopt);
    const auto zero_s = source->look_for_first_picture();
    source->pass_over_pictures();
    auto sound = whole_sound(std::move(source));
    if (!sound) return sound.error();
    return decoded(std::move(*sound), zero_s);
}

} // namespace

struct AudioReader::State {
    std::unique_ptr<SoundSource> source;
    SampleQueue queue;
    std::size_t block_frames;
    bool ended = false;
};

Result<AudioReader> AudioReader::open(const std::string& path, const AudioOptions& options) {
    auto source = options.song ? open_song(path) : open_clip(path);
    if (!source) return source.error();
    return AudioReader(std::move(*source), options.block_frames);
}

AudioReader::AudioReader(std::unique_ptr<SoundSource> source, std::size_t block_frames) {
    const auto channels = static_cast<std::size_t>(source->channels());
    state_ = std::make_unique<State>(
        State{std::move(source), SampleQueue(channels), std::max<std::size_t>(1, block_frames)});
}

AudioReader::AudioReader(AudioReader&&) noexcept = default;
AudioReader& AudioReader::operator=(AudioReader&&) noexcept = default;
AudioReader::~AudioReader() = default;

int AudioReader::rate_hz() const {
    return state_->source->rate_hz();
}

int AudioReader::channels() const {
    return state_->source->channels();
}

double AudioReader::first_s() const {
    return state_->source->first_s();
}

const std::vector<std::string>& AudioReader::notes() const {
    return state_->source->notes();
}

bool AudioReader::lossy() const {
    return state_->source->lossy();
}

bool AudioReader::broke_off() const {
    return state_->source->broke_off();
}

Result<dsp::PlanarBlock> AudioReader::read() {
    while (!state_->ended && state_->queue.size() < state_->block_frames) {
        const auto more = state_->source->fill(state_->queue);
        if (!more) return more.error();
        state_->ended = !*more;
    }
    return state_->queue.take(state_->block_frames);
}

} // namespace downball::media
