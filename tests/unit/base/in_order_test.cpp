// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "support/dice.h"

#include "downball/base/in_order.h"

#include <atomic>
#include <chrono>
#include <memory>
#include <stdexcept>
#include <string>
#include <thread>

using namespace downball;
using downball::test::Dice;

namespace {

void rest(int microseconds) {
    std::this_thread::sleep_for(std::chrono::microseconds(microseconds));
}

// Until it holds, or so long that something must be wrong.
template <class Holds>
void wait_for(Holds holds) {
    for (int turn = 0; turn < 50'000 && !holds(); ++turn)
        rest(200);
}

} // namespace

TEST_CASE("everything is taken once, in order, in the caller's thread, whatever takes how long") {
    const auto caller = std::this_thread::get_id();
    for (const std::size_t hands : {0u, 1u, 2u, 7u, 100u})
        for (const std::size_t ahead : {1u, 2u, 16u, 1000u}) {
            std::vector<int> waits;
            Dice dice(hands * 1000 + ahead);
            for (int i = 0; i < 60; ++i)
                waits.push_back(dice.whole(0, 300));
            std::vector<std::size_t> taken;
            bool mine = true;
            in_order(
                waits.size(), hands, ahead,
                [&](std::size_t i) {
                    rest(waits[i]);
                    return std::to_string(i);
                },
                [&](std::size_t i, std::string made) {
                    mine = mine && made == std::to_string(i) && std::this_thread::get_id() == caller;
                    taken.push_back(i);
                    return true;
                });
            CHECK(mine);
            REQUIRE(taken.size() == waits.size());
            for (std::size_t i = 0; i < taken.size(); ++i)
                CHECK(taken[i] == i);
        }
}

TEST_CASE("no more is made ahead than was asked for") {
    for (const std::size_t ahead : {1u, 3u, 8u}) {
        std::atomic<std::size_t> begun = 0, taken = 0;
        std::atomic<bool> too_far = false;
        std::size_t most = 0;
        in_order(
            40, 16, ahead,
            [&](std::size_t i) {
                if (i >= taken + ahead) too_far = true;
                return ++begun;
            },
            [&](std::size_t i, std::size_t) {
                wait_for([&] { return begun >= std::min<std::size_t>(i + ahead, 40); });
                rest(500); // time enough for one too many
                most = std::max(most, begun - i);
                taken = i + 1;
                return true;
            });
        CHECK_FALSE(too_far);
        CHECK(most == ahead); // they do run ahead
    }
}

TEST_CASE("as many hands work at once as were asked for, and no more") {
    for (const int hands : {1, 3}) {
        std::atomic<int> at_work = 0, most = 0;
        in_order(
            30, static_cast<std::size_t>(hands), 30,
            [&](std::size_t i) {
                const int now = ++at_work;
                for (int before = most; now > before && !most.compare_exchange_weak(before, now);) {
                }
                wait_for([&] { return most >= hands; });
                rest(500);
                --at_work;
                return i;
            },
            [](std::size_t, std::size_t) { return true; });
        CHECK(most == hands);
    }
}

TEST_CASE("one hand makes each when it is its turn") {
    std::vector<std::size_t> made;
    in_order(
        20, 1, 4,
        [&](std::size_t i) {
            made.push_back(i); // one maker alone: no lock is needed
            return i;
        },
        [](std::size_t, std::size_t) { return true; });
    for (std::size_t i = 0; i < 20; ++i)
        CHECK(made.at(i) == i);
}

TEST_CASE("when enough was taken nothing more is begun, and what is begun is waited for") {
    std::atomic<int> begun = 0, done = 0;
    int taken = 0;
    in_order(
        1000, 4, 8,
        [&](std::size_t i) {
            ++begun;
            rest(1000);
            ++done;
            return i;
        },
        [&](std::size_t i, std::size_t) {
            ++taken;
            return i < 5;
        });
    CHECK(taken == 6);
    CHECK(begun == done);
    CHECK(begun <= 6 + 8);
    const int before = begun;
    rest(5000);
    CHECK(begun == before);
}

TEST_CASE("nothing to do, and values that can only be moved") {
    in_order(
        0, 4, 4, [](std::size_t i) { return i; },
        [](std::size_t, std::size_t) {
            FAIL("there is nothing to take");
            return true;
        });
    std::size_t sum = 0;
    in_order(
        10, 3, 2, [](std::size_t i) { return std::make_unique<std::size_t>(i); },
        [&](std::size_t, std::unique_ptr<std::size_t> made) {
            sum += *made;
            return true;
        });
    CHECK(sum == 45);
}

TEST_CASE("what is thrown comes to the caller, and nobody waits for ever") {
    const auto throws_at = [](std::size_t bad, bool in_make) {
        std::size_t taken = 0;
        const auto run = [&] {
            in_order(
                100, 2, 2,
                [&](std::size_t i) {
                    if (in_make && i == bad) throw std::runtime_error("made");
                    return i;
                },
                [&](std::size_t i, std::size_t) {
                    if (!in_make && i == bad) throw std::runtime_error("taken");
                    ++taken;
                    return true;
                });
        };
        CHECK_THROWS_WITH(run(), in_make ? "made" : "taken");
        return taken;
    };
    for (const std::size_t bad : {0u, 7u, 99u}) {
        CHECK(throws_at(bad, true) == bad);
        CHECK(throws_at(bad, false) == bad);
    }
}
