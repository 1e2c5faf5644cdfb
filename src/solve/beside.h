// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <future>
#include <system_error>

namespace downball::solve {

// Does the work on a thread of its own or, where none is to be had, when its result is asked for.
template <class Work>
auto beside(Work work) {
    try {
        return std::async(std::launch::async, work);
    } catch (const std::system_error&) {
        return std::async(std::launch::deferred, work);
    }
}

} // namespace downball::solve
