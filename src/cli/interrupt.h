// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <stop_token>
#include <thread>

namespace downball::cli {

// Ctrl-C and termination become a request to stop, so that work ends where it can leave nothing half-written.
// A second Ctrl-C ends the program at once. Make it before any other thread: they inherit the blocked
// signals.
class Interrupt {
  public:
    Interrupt();
    Interrupt(const Interrupt&) = delete;
    Interrupt& operator=(const Interrupt&) = delete;

    std::stop_token token() const { return source_.get_token(); }

  private:
    std::stop_source source_;
    std::jthread waiting_;
};

} // namespace downball::cli
