// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "preview/sound_mix.h"

#include "downball/preview/preview.h"

#include <functional>
#include <future>
#include <optional>
#include <stop_token>
#include <thread>

namespace downball::preview {

struct ReelSound {
    Mix mix;     // as the movie has it
    Level level; // of that, as it is heard
};

// The sound of the reel, brought to its loudness by one gain. Errors: as mix_sound; no gain keeps the peaks.
Result<ReelSound> reel_sound(const Timeline& timeline, const Options& options, const LongWork& work);

// The same, made by a thread of its own while pictures are decoded and coded.
class SoundAhead {
  public:
    SoundAhead() = default;
    SoundAhead(const SoundAhead&) = delete;
    SoundAhead& operator=(const SoundAhead&) = delete;
    ~SoundAhead() { stop_.request_stop(); }

    // Timeline and options outlive it. Errors: the system gives no thread.
    Result<void> start(const Timeline& timeline, const Options& options, const LongWork& work);
    bool ready() const;
    Result<ReelSound> take(); // once; waits for it

  private:
    std::stop_source stop_;
    std::optional<std::stop_callback<std::function<void()>>> asked_;
    std::future<Result<ReelSound>> made_;
    std::jthread thread_;
};

} // namespace downball::preview
