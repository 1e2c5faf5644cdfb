// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "downball/media/clip_reader.h"

#include "media/decoded_sound.h"
#include "media/file_tags.h"
#include "media/picture_rate.h"
#include "media/rotation.h"

#include "downball/media/content_id.h"

#include <algorithm>
#include <filesystem>
#include <optional>
#include <utility>

namespace downball::media {

struct ClipReader::State {
    MediaInfo info;
    std::shared_ptr<PacketSource> source;
    // What the index told; the rest comes from a survey of all packets.
    bool indexed = false;
    std::optional<double> zero_s, sound_end_s; // container seconds
    std::optional<AudioReader> sound;
    double sound_begins_s = 0;

    void read_index();
    Result<void> open_sound(std::size_t block_frames);
    void survey();
    void keep_sound();
};

void ClipReader::State::read_index() {
    const auto *picture = source->picture(), *track = source->sound();
    if (track) sound_end_s = indexed_sound_end_s(source->input(), track);
    indexed = (sound_end_s || !track) && (!picture || keep_indexed_rate(source->input(), picture, info));
    if (picture) zero_s = source->look_for_first_picture();
    if (indexed) source->pass_over_pictures();
}

// A clip whose sound cannot be decoded is a silent clip; a file of sound alone must have some.
Result<void> ClipReader::State::open_sound(std::size_t block_frames) {
    if (!source->sound()) return {};
    auto reading = whole_sound(source);
    if (!reading) return reading.error();
    auto opened = open_decoded_sound(std::move(*reading), zero_s);
    if (!opened) return info.has_video ? Result<void>() : opened.error();
    sound_begins_s = opened->begins_s;
    sound = AudioReader(std::move(opened->source), block_frames);
    return {};
}

void ClipReader::State::survey() {
    const auto* picture = source->picture();
    const auto found = source->survey();
    if (!sound_end_s) sound_end_s = found.sound_end_s;
    if (!picture) return;
    keep_rate(found, source->input(), picture, info);
    zero_s.reset();
    if (!found.shown.empty())
        zero_s = seconds(found.shown.front(), picture->time_base);
    else if (picture->start_time != AV_NOPTS_VALUE)
        zero_s = seconds(picture->start_time, picture->time_base);
}

void ClipReader::State::keep_sound() {
    const double zero_there_s = zero_s.value_or(sound_begins_s), first_s = sound_begins_s - zero_there_s;
    AudioInfo audio{sound->rate_hz(), sound->channels(), first_s, first_s};
    if (sound_end_s) audio.end_s = std::max(first_s, *sound_end_s - zero_there_s);
    info.audio = audio;
    if (!info.has_video) info.duration_s = audio.end_s - audio.first_s;
}

Result<ClipReader> ClipReader::open(const std::string& path, const ClipOptions& options) {
    const auto bytes = check_file(path);
    if (!bytes) return bytes.error();
    auto id = options.id ? content_id(path) : Result<std::string>(std::string());
    if (!id) return id.error();
    auto input = open_input(path);
    if (!input) return input.error();

    auto state = std::make_unique<State>();
    auto& info = state->info;
    info.path = path;
    info.name = std::filesystem::path(path).filename().string();
    info.id = *id;
    info.bytes = *bytes;
    state->source = std::make_shared<PacketSource>(std::move(*input));
    const auto* picture = state->source->picture();
    if (!picture && !state->source->sound())
        return Error{Fault::bad_input, "found neither pictures nor sound in it; leave it out", path};
    read_tags(state->source->input(), picture, info);
    if (picture) {
        info.has_video = true;
        info.width = picture->codecpar->width;
        info.height = picture->codecpar->height;
        info.rotation = rotation_of(picture);
    }
    state->read_index();
    if (auto sound = state->open_sound(options.block_frames); !sound) return sound.error();
    return ClipReader(std::move(state));
}

ClipReader::ClipReader(std::unique_ptr<State> state) : state_(std::move(state)) {}
ClipReader::ClipReader(ClipReader&&) noexcept = default;
ClipReader& ClipReader::operator=(ClipReader&&) noexcept = default;
ClipReader::~ClipReader() = default;

AudioReader* ClipReader::sound() {
    return state_->sound ? &*state_->sound : nullptr;
}

bool ClipReader::unheard() const {
    return state_->source->sound() && !state_->sound;
}

Result<MediaInfo> ClipReader::finish() {
    auto& info = state_->info;
    const auto& source = *state_->source;
    if (!state_->indexed) state_->survey();
    info.broke_off = source.input().broke_off();
    if (info.has_video && info.average_fps <= 0)
        return Error{
            Fault::bad_input,
            "its picture track holds no pictures; copy the file again from the card, or leave it out",
            info.path};
    if (info.has_video) read_start(source.input(), source.picture(), info);
    if (state_->sound) state_->keep_sound();
    read_time_of_day(source.input(), info);
    return std::move(info);
}

} // namespace downball::media
