// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/interrupt.h"

#include <csignal>
#include <cstdlib>
#include <ctime>

namespace downball::cli {

Interrupt::Interrupt() {
    sigset_t signals;
    sigemptyset(&signals);
    sigaddset(&signals, SIGINT);
    sigaddset(&signals, SIGTERM);
    pthread_sigmask(SIG_BLOCK, &signals, nullptr);
    waiting_ = std::jthread([this, signals](std::stop_token ending) {
        constexpr timespec a_moment{0, 50'000'000}; // how long the program may linger after its last word
        while (!ending.stop_requested()) {
            if (sigtimedwait(&signals, nullptr, &a_moment) < 0) continue;
            if (source_.stop_requested()) std::_Exit(130);
            source_.request_stop();
        }
    });
}

} // namespace downball::cli
