// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "media/sample_queue.h"
#include "support/catch.h"

#include <array>

using namespace downball::media;

TEST_CASE("samples leave in the order they came, whatever the sizes") {
    SampleQueue queue(2);
    float next = 0;
    std::vector<float> taken;
    for (const std::size_t turn : {1u, 7u, 511u, 0u, 64u}) {
        std::vector<float> left, right;
        for (std::size_t i = 0; i < turn; ++i) {
            left.push_back(next);
            right.push_back(-next);
            next += 1;
        }
        const std::array<const float*, 2> planes{left.data(), right.data()};
        queue.append(planes.data(), 0, turn);
        const auto block = queue.take(100);
        for (std::size_t i = 0; i < block.frames; ++i) {
            CHECK(block.channels[0][i] == -block.channels[1][i]);
            taken.push_back(block.channels[0][i]);
        }
    }
    while (queue.size() > 0) {
        const auto block = queue.take(13);
        taken.insert(taken.end(), block.channels[0], block.channels[0] + block.frames);
    }
    REQUIRE(taken.size() == 583);
    for (std::size_t i = 0; i < taken.size(); ++i)
        CHECK(taken[i] == static_cast<float>(i));
}

TEST_CASE("interleaved samples and silence are laid out by channel") {
    SampleQueue queue(2);
    const std::array<float, 4> pairs{1, 2, 3, 4};
    queue.append_interleaved(pairs.data(), 2);
    queue.append_silence(1);
    const auto block = queue.take(10);
    REQUIRE(block.frames == 3);
    CHECK(std::vector<float>(block.channels[0], block.channels[0] + 3) == std::vector<float>{1, 3, 0});
    CHECK(std::vector<float>(block.channels[1], block.channels[1] + 3) == std::vector<float>{2, 4, 0});
    CHECK(queue.take(10).frames == 0);
}
