// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "encode.h"

#include "files.h"
#include "soundtrack.h"

#include <cstdio>
#include <filesystem>
#include <fmt/format.h>

namespace downball::sample {
namespace {

std::string quoted(const std::string& path) {
    std::string out = "'";
    for (const char c : path)
        if (c == '\'')
            out += "'\\''";
        else
            out += c;
    return out + "'";
}

// By the camera's clock.
double shown_s(const Take& take) {
    return take.clock_s + clock_ahead_s(take.camera);
}

// Whole seconds, as containers keep it. The day is a Saturday of our own choosing.
std::string creation_time(const Take& take) {
    const long long s = static_cast<long long>(std::floor(shown_s(take)));
    return fmt::format("2026-07-18T{:02}:{:02}:{:02}Z", s / 3600, s / 60 % 60, s % 60);
}

std::string command(const Take& take, const std::string& wav, const std::string& file) {
    const bool sound = take.sound != TakeSound::none;
    std::string c =
        fmt::format("ffmpeg -nostdin -loglevel error -y -f rawvideo -pix_fmt rgb24 -s {}x{} -r {} -i -",
                    picture_width, picture_height, take.rate);
    if (take.sound == TakeSound::aac_late) c += fmt::format(" -itsoffset {}", late_s);
    if (sound) c += " -i " + quoted(wav) + " -map 0:v -map 1:a";
    c += fmt::format(
        " -vf scale=out_color_matrix=bt709:out_range=tv -pix_fmt yuv420p -c:v libx264 -preset superfast"
        " -crf 28 -g {} -threads 1 -colorspace bt709 -color_primaries bt709 -color_trc bt709",
        take.rate / 2);
    if (take.sound == TakeSound::pcm)
        c += " -c:a pcm_s16le";
    else if (sound)
        c += " -c:a aac -b:a 128k";
    return c +
           " -movie_timescale 48000 -map_metadata -1 -fflags +bitexact -flags:v +bitexact -flags:a +bitexact "
           "-timecode " +
           start_label(take) + " -metadata creation_time=" + creation_time(take) + " " + quoted(file);
}

} // namespace

std::string start_label(const Take& take) {
    const long long frames = std::llround(shown_s(take) * take.rate);
    const long long s = frames / take.rate;
    return fmt::format("{:02}:{:02}:{:02}:{:02}", s / 3600, s / 60 % 60, s % 60, frames % take.rate);
}

Result<void> encode_take(Take& take, const Scenario& scenario, const Crowd& crowd,
                         const std::string& folder) {
    const std::string file = folder + "/" + take.file, wav = file + ".wav";
    if (take.sound != TakeSound::none) {
        Stereo sound = record_sound(take, scenario);
        // A microphone that starts late has not heard the beginning.
        const std::size_t cut =
            take.sound == TakeSound::aac_late ? static_cast<std::size_t>(late_s * audio_rate) : 0;
        const auto rest = [&](const Mono& m) { return std::span<const float>(m).subspan(cut); };
        const bool mono = take.camera == 'C';
        if (auto done = write_wav(wav, rest(sound.left), mono ? std::span<const float>{} : rest(sound.right));
            !done)
            return done;
    }
    FILE* pipe = popen(command(take, wav, file).c_str(), "w");
    if (!pipe) return Error{Fault::cannot_write, "the program ffmpeg could not be started; install it", file};
    TakePicture picture(take, scenario, crowd);
    Canvas canvas(picture_width, picture_height);
    bool fed = true;
    for (int frame = 0; fed && frame < take.frames(); ++frame) {
        picture.draw(canvas, frame);
        fed = std::fwrite(canvas.bytes().data(), 1, canvas.bytes().size(), pipe) == canvas.bytes().size();
    }
    const int status = pclose(pipe);
    std::error_code ignored;
    std::filesystem::remove(wav, ignored);
    if (!fed || status != 0)
        return Error{Fault::cannot_write,
                     fmt::format("ffmpeg ended with status {}; its message is above", status), file};
    return {};
}

} // namespace downball::sample
