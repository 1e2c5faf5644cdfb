// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/pipeline/talk.h"

#include <chrono>
#include <string>
#include <string_view>

namespace downball::cli {

// stderr as a place to talk to a person: finished lines, and progress in one line that is overwritten, on a
// terminal only. Quiet silences both, never errors.
class Terminal {
  public:
    explicit Terminal(bool quiet);
    ~Terminal();
    Terminal(const Terminal&) = delete;
    Terminal& operator=(const Terminal&) = delete;

    void say(std::string_view line);
    void progress(std::string_view stage, double done);
    pipeline::Talk talk(std::stop_token stop);

  private:
    void clear_progress();
    bool quiet_ = false;
    bool terminal_ = false;
    std::string shown_;
    std::string stage_; // that progress told of last, and when it began
    std::chrono::steady_clock::time_point begun_{};
};

// A line on stderr, whatever --quiet says.
void complain(std::string_view line);

// Results. A reader that has seen enough and left (`| head`) is no failure, but needs no more of them; a full
// disk is one.
enum class Printed { all, unread, failed };
Printed print(std::string_view text);

} // namespace downball::cli
