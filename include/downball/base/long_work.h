// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"

#include <functional>
#include <stop_token>
#include <string>

namespace downball {

// What work that was stopped before anything was written comes back with.
inline Error stopped_in_time() {
    return {Fault::interrupted, "stopped on request; nothing was written", ""};
}

// What a caller hands to work that takes a while. `progress` gets 0..1, may be empty, and is called from
// the thread that does the work. A stop that was asked for ends the work with Fault::interrupted.
struct LongWork {
    std::function<void(double)> progress;
    std::stop_token stop;

    void report(double done) const {
        if (progress) progress(done);
    }
    bool stop_asked() const { return stop.stop_requested(); }
};

} // namespace downball
