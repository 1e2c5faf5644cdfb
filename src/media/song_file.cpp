// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "media/song_file.h"

#include <algorithm>
#include <array>
#include <cstdio>
#include <sndfile.h>

namespace downball::media {

namespace {

struct CloseSnd {
    void operator()(SNDFILE* file) const { sf_close(file); }
};
using SndPtr = std::unique_ptr<SNDFILE, CloseSnd>;

// Opus is left out since libsndfile may resample it, ADPCM since decoders round it differently, and Ogg of
// more than two channels since the channel order differs.
bool same_in_both(const SF_INFO& info) {
    const auto container = info.format & SF_FORMAT_TYPEMASK;
    const auto samples = info.format & SF_FORMAT_SUBMASK;
    if (container == SF_FORMAT_OGG) return samples == SF_FORMAT_VORBIS && info.channels <= 2;
    constexpr std::array containers{SF_FORMAT_WAV, SF_FORMAT_WAVEX, SF_FORMAT_RF64, SF_FORMAT_FLAC};
    constexpr std::array encodings{SF_FORMAT_PCM_U8, SF_FORMAT_PCM_S8, SF_FORMAT_PCM_16, SF_FORMAT_PCM_24,
                                   SF_FORMAT_PCM_32, SF_FORMAT_FLOAT,  SF_FORMAT_DOUBLE};
    const auto holds = [](const auto& list, int value) { return std::ranges::count(list, value) > 0; };
    return holds(containers, container) && holds(encodings, samples);
}

// The first bytes of a file and its last ones, as far as it has them.
struct Ends {
    std::string first, last;
};

Ends read_ends(const std::string& path, std::size_t first, std::size_t last) {
    const std::unique_ptr<std::FILE, int (*)(std::FILE*)> file(std::fopen(path.c_str(), "rb"), std::fclose);
    if (!file) return {};
    const auto read = [&](std::size_t bytes) {
        std::string text(bytes, '\0');
        text.resize(std::fread(text.data(), 1, bytes, file.get()));
        return text;
    };
    Ends ends;
    ends.first = read(first);
    std::fseek(file.get(), 0, SEEK_END);
    std::fseek(file.get(), std::max(0L, std::ftell(file.get()) - static_cast<long>(last)), SEEK_SET);
    ends.last = read(last);
    return ends;
}

// libsndfile opens more kinds than these, and one of its helpers talks on stderr over a damaged MP3. Of an Ogg
// file that is several songs end to end it reads the first alone, and one cut off in its head it leaks; so
// the last page must end the stream (flag 4 in byte 5) that the first one begins (serial number in bytes
// 14-17, RFC 3533).
bool is_ours_to_open(const std::string& path) {
    constexpr std::size_t flags_at = 5, serial_at = 14, page_start = 18, longest_page = 65307;
    const auto ends = read_ends(path, page_start, longest_page + page_start);
    if (ends.first.size() < page_start || ends.last.size() < page_start) return false;
    for (const auto* mark : {"RIFF", "RF64", "fLaC"})
        if (ends.first.starts_with(mark)) return true;
    if (!ends.first.starts_with("OggS")) return false;
    const auto page = ends.last.rfind("OggS", ends.last.size() - page_start);
    return page != std::string::npos && (ends.last[page + flags_at] & 4) != 0 &&
           ends.last.compare(page + serial_at, 4, ends.first, serial_at, 4) == 0;
}

class SongFile : public SoundSource {
  public:
    SongFile(SndPtr file, const SF_INFO& info)
        : file_(std::move(file)), info_(info),
          buffer_(frames_a_turn * static_cast<std::size_t>(info.channels)) {}

    int rate_hz() const override { return info_.samplerate; }
    int channels() const override { return info_.channels; }
    double first_s() const override { return 0; }
    const std::vector<std::string>& notes() const override { return notes_; }
    bool broke_off() const override { return !notes_.empty(); }

    Result<bool> fill(SampleQueue& queue) override {
        const auto read = sf_readf_float(file_.get(), buffer_.data(), frames_a_turn);
        if (read <= 0) {
            if (const auto code = sf_error(file_.get()); code != SF_ERR_NO_ERROR && notes_.empty())
                notes_.push_back(std::string("reading stopped early: ") + sf_error_number(code));
            return false;
        }
        queue.append_interleaved(buffer_.data(), static_cast<std::size_t>(read));
        return true;
    }

  private:
    static constexpr std::size_t frames_a_turn = 4096;
    SndPtr file_;
    SF_INFO info_;
    std::vector<float> buffer_;
    std::vector<std::string> notes_;
};

} // namespace

std::unique_ptr<SoundSource> open_song_file(const std::string& path) {
    if (!is_ours_to_open(path)) return nullptr;
    SF_INFO info{};
    SndPtr file(sf_open(path.c_str(), SFM_READ, &info));
    if (!file || info.frames <= 0 || info.channels <= 0 || info.samplerate <= 0) return nullptr;
    if (!same_in_both(info)) return nullptr;
    return std::make_unique<SongFile>(std::move(file), info);
}

} // namespace downball::media
