// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/long_work.h"

#include <functional>
#include <stop_token>
#include <string>
#include <string_view>
#include <utility>

namespace downball::pipeline {

// How the work speaks to whoever asked for it. Both may be empty. `say` gets one finished line without its
// end; `progress` gets the stage in plain words and 0..1, and may be called from another thread, never from
// two at once.
struct Talk {
    std::function<void(std::string_view line)> say;
    std::function<void(std::string_view stage, double done)> progress;
    std::stop_token stop;

    void line(std::string_view text) const {
        if (say) say(text);
    }
    // This stage's share of the talk, for the rooms below.
    LongWork stage(std::string name) const {
        LongWork work;
        work.stop = stop;
        if (progress)
            work.progress = [say = progress, name = std::move(name)](double done) { say(name, done); };
        return work;
    }
};

} // namespace downball::pipeline
