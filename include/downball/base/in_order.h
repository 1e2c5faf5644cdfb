// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <algorithm>
#include <condition_variable>
#include <cstddef>
#include <map>
#include <mutex>
#include <thread>
#include <type_traits>
#include <utility>
#include <vector>

namespace downball {

// As many threads as the machine can run at once, at least one.
inline std::size_t all_hands() {
    return std::max<std::size_t>(1, std::thread::hardware_concurrency());
}

// `make(i)` for i = 0 to count - 1, on `hands` threads; `take(i, made)` in the caller's thread, in order, each as soon as
// it and all before it are there. At most `ahead` are made or wait beyond the one that is to be taken next, so that
// memory is bounded. When `take` says false, nothing more is begun, and what is begun is waited for.
template <class Make, class Take>
void in_order(std::size_t count, std::size_t hands, std::size_t ahead, Make make, Take take) {
    using Made = std::invoke_result_t<Make, std::size_t>;
    std::mutex guard;
    std::condition_variable changed;
    std::map<std::size_t, Made> waiting;
    std::size_t next = 0, taken = 0;
    bool enough = false;

    const auto work = [&] {
        for (;;) {
            std::unique_lock lock(guard);
            changed.wait(lock, [&] { return enough || next >= count || next < taken + ahead; });
            if (enough || next >= count) return;
            const std::size_t mine = next++;
            lock.unlock();
            Made made = make(mine);
            lock.lock();
            waiting.emplace(mine, std::move(made));
            changed.notify_all();
        }
    };
    std::vector<std::jthread> workers;
    for (std::size_t i = 0; i < std::min(std::max<std::size_t>(1, hands), count); ++i)
        workers.emplace_back(work);
    for (std::size_t i = 0; i < count; ++i) {
        std::unique_lock lock(guard);
        changed.wait(lock, [&] { return waiting.contains(i); });
        auto made = waiting.extract(i);
        lock.unlock();
        const bool more = take(i, std::move(made.mapped()));
        lock.lock();
        taken = i + 1;
        enough = !more;
        changed.notify_all();
        if (!more) return;
    }
}

} // namespace downball
