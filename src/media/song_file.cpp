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

// ADPCM is left out since decoders round it differently.
bool same_in_both(const SF_INFO& info) {
    const auto container = info.format & SF_FORMAT_TYPEMASK;
    const auto samples = info.format & SF_FORMAT_SUBMASK;
    constexpr std::array containers{SF_FORMAT_WAV, SF_FORMAT_WAVEX, SF_FORMAT_RF64, SF_FORMAT_FLAC};
    constexpr std::array encodings{SF_FORMAT_PCM_U8, SF_FORMAT_PCM_S8, SF_FORMAT_PCM_16, SF_FORMAT_PCM_24,
                                   SF_FORMAT_PCM_32, SF_FORMAT_FLOAT,  SF_FORMAT_DOUBLE};
    const auto holds = [](const auto& list, int value) { return std::ranges::count(list, value) > 0; };
    return holds(containers, container) && holds(encodings, samples);
}

// libsndfile opens more kinds than these: one of its helpers talks on stderr over a damaged MP3, of an Ogg file that is
// several songs end to end it reads the first alone, and its Vorbis decoder takes twice FFmpeg's time.
bool is_ours_to_open(const std::string& path) {
    const std::unique_ptr<std::FILE, int (*)(std::FILE*)> file(std::fopen(path.c_str(), "rb"), std::fclose);
    std::string mark(4, '\0');
    if (!file || std::fread(mark.data(), 1, mark.size(), file.get()) != mark.size()) return false;
    return mark == "RIFF" || mark == "RF64" || mark == "fLaC";
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
    bool lossy() const override { return !notes_.empty(); }
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
