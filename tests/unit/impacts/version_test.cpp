// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "support/catch.h"
#include "unit/impacts/hear.h"

#include <array>

using namespace downball;
using namespace downball::test;

// Contacts that were kept are taken for what the finder would find. Whoever changes what it finds has to say so.
TEST_CASE("what the finder hears is what its version has heard before") {
    struct Heard {
        std::size_t contacts;        // of all candidates
        double seconds, sure, crowd; // sums of instants and confidences
    };
    const std::array<Heard, 3> of_version_1{{{64, 351.163500, 8.22780, 0.1667},
                                             {67, 397.642268, 13.75837, 0.5833},
                                             {48, 276.736000, 9.47991, 0.3750}}};
    INFO("if this fails and is meant to: raise impacts::detector_version, then write the new figures here");
    REQUIRE(impacts::detector_version == 1);
    for (std::size_t i = 0; i < of_version_1.size(); ++i) {
        const auto clip = mixed_clip(Split::beach, 40 + i, 12);
        const auto hearing = hear(clip.channels, clip.rate_hz, 4096, {.floor = 0});
        double seconds = 0, sure = 0;
        for (const auto& contact : hearing.contacts) {
            seconds += contact.sound_s;
            sure += contact.confidence;
        }
        CHECK(hearing.contacts.size() == of_version_1[i].contacts);
        CHECK(seconds == Approx(of_version_1[i].seconds).margin(1e-4));
        CHECK(sure == Approx(of_version_1[i].sure).margin(1e-3));
        CHECK(hearing.crowd == Approx(of_version_1[i].crowd).margin(1e-3));
    }
}
