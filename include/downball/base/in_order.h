// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <algorithm>
#include <condition_variable>
#include <cstddef>
#include <exception>
#include <map>
#include <mutex>
#include <optional>
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
// it and all before it are there. At most `ahead` (at least 1) are being made or wait, the one that is to be taken next
// among them, so that memory is bounded. When `take` says false, or one of the two throws, nothing more is begun, and
// what is begun is waited for; what was thrown goes on to the caller.
template <class Make, class Take>
void in_order(std::size_t count, std::size_t hands, std::size_t ahead, Make make, Take take) {
    using Made = std::invoke_result_t<Make, std::size_t>;
    struct Outcome {
        std::optional<Made> made;
        std::exception_ptr thrown;
    };
    std::mutex guard;
    std::condition_variable changed;
    std::map<std::size_t, Outcome> waiting;
    std::size_t next = 0, taken = 0;
    bool enough = false;
    ahead = std::max<std::size_t>(1, ahead);

    const auto work = [&] {
        for (;;) {
            std::unique_lock lock(guard);
            changed.wait(lock, [&] { return enough || next >= count || next < taken + ahead; });
            if (enough || next >= count) return;
            const std::size_t mine = next++;
            lock.unlock();
            Outcome outcome;
            try {
                outcome.made = make(mine);
            } catch (...) {
                outcome.thrown = std::current_exception();
            }
            lock.lock();
            waiting.emplace(mine, std::move(outcome));
            changed.notify_all();
        }
    };
    std::vector<std::jthread> workers;
    // However this ends, nobody waits for room that never comes. Goes before the workers are waited for.
    struct LastWord {
        std::mutex& guard;
        std::condition_variable& changed;
        bool& enough;
        ~LastWord() {
            const std::scoped_lock lock(guard);
            enough = true;
            changed.notify_all();
        }
    };
    const LastWord last{guard, changed, enough};
    for (std::size_t i = 0; i < std::min(std::max<std::size_t>(1, hands), count); ++i)
        workers.emplace_back(work);
    for (std::size_t i = 0; i < count; ++i) {
        std::unique_lock lock(guard);
        changed.wait(lock, [&] { return waiting.contains(i); });
        auto outcome = waiting.extract(i);
        lock.unlock();
        if (outcome.mapped().thrown) std::rethrow_exception(outcome.mapped().thrown);
        if (!take(i, std::move(*outcome.mapped().made))) return;
        lock.lock();
        taken = i + 1;
        changed.notify_all();
    }
}

} // namespace downball
