// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdlib>
#include <filesystem>
#include <fmt/format.h>
#include <string>
#include <vector>

namespace downball::bench {

// A kind of file that the bench makes. Cameras' files have pictures beside the sound, which are to be passed over.
struct DecodeFile {
    std::string name;     // without blanks
    std::string ending;   // of the file
    std::string sound;    // how the ffmpeg program codes it
    std::string pictures; // likewise; empty: none
    std::string written;  // more options for the whole file
    bool song = false;    // read as a song is
};

inline std::vector<DecodeFile> decode_files() {
    const std::string h264 = "libx264 -preset ultrafast -b:v 4M -g 50", mpeg2 = "mpeg2video -b:v 4M -g 12";
    const std::string disc = "-mpegts_m2ts_mode 1";
    return {{"aac_mp4", "mp4", "aac -b:a 192k", h264, ""},
            {"aac_mov", "mov", "aac -b:a 192k", h264, ""},
            {"pcm16_mov", "mov", "pcm_s16le", h264, ""},
            {"pcm24_mov", "mov", "pcm_s24le", h264, ""},
            {"pcm16_wav", "wav", "pcm_s16le", "", ""},
            {"pcm24_wav", "wav", "pcm_s24le", "", ""},
            {"lpcm_mts", "mts", "pcm_bluray", h264, disc},
            {"ac3_mts", "mts", "ac3 -b:a 384k", h264, disc},
            {"aac_mts", "mts", "aac -b:a 192k", h264, disc},
            {"pcm24_mxf", "mxf", "pcm_s24le", mpeg2, ""},
            {"opus_mkv", "mkv", "libopus -b:a 128k", h264, ""},
            {"vorbis_mkv", "mkv", "libvorbis -b:a 192k", h264, ""},
            {"opus_ogg", "ogg", "libopus -b:a 128k", "", ""},
            {"vorbis_ogg", "ogg", "libvorbis -b:a 192k", "", ""},
            {"mp3", "mp3", "libmp3lame -b:a 192k", "", ""},
            {"flac", "flac", "flac", "", ""},
            {"song_wav", "wav", "pcm_s16le", "", "", true},
            {"song_vorbis", "ogg", "libvorbis -b:a 192k", "", "", true},
            {"song_flac", "flac", "flac", "", "", true},
            {"song_mp3", "mp3", "libmp3lame -b:a 192k", "", "", true}};
}

inline void must(const std::string& command) {
    if (std::system(("ffmpeg -nostdin -v error -y " + command).c_str()) == 0) return;
    fmt::print(stderr, "failed: ffmpeg {}\n", command);
    std::exit(1);
}

// Pictures of a minute are copied over and over; the sound is coded whole, since copies of some kinds join badly.
inline std::string make_file(const std::filesystem::path& folder, const DecodeFile& file, int seconds) {
    namespace fs = std::filesystem;
    const auto path = (folder / fmt::format("{}_{}.{}", file.name, seconds, file.ending)).string();
    if (fs::exists(path)) return path;
    fs::create_directories(folder);
    const auto noise = [](const char* colour, int seed) {
        return fmt::format("-f lavfi -i anoisesrc=c={}:d=60:r=48000:a=0.2:seed={} ", colour, seed);
    };
    const auto minute = (folder / "minute.wav").string();
    if (!fs::exists(minute))
        must(fmt::format("{}{}-filter_complex amerge=inputs=2 -c:a pcm_s24le '{}'", noise("pink", 1),
                         noise("brown", 2), minute));
    std::string pictures, coding;
    if (!file.pictures.empty()) {
        const auto movie =
            (folder / fmt::format("minute_{}.mov", file.pictures.substr(0, file.pictures.find(' '))))
                .string();
        if (!fs::exists(movie))
            must(fmt::format(
                "-f lavfi -i testsrc2=s=1280x720:r=50:d=60 -vf noise=alls=6:allf=t -pix_fmt yuv420p "
                "-c:v {} '{}'",
                file.pictures, movie));
        pictures = fmt::format("-stream_loop -1 -i '{}' -map 1:v -map 0:a -c:v copy ", movie);
    }
    const auto part = path + ".part";
    must(fmt::format("-stream_loop -1 -i '{}' {}-c:a {} -t {} {} -f {} '{}'", minute, pictures, file.sound,
                     seconds, file.written,
                     file.ending == "mts"   ? "mpegts"
                     : file.ending == "mkv" ? "matroska"
                                            : file.ending,
                     part));
    fs::rename(part, path);
    return path;
}

} // namespace downball::bench
