// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "support/clip_synth.h"

#include <cstdint>
#include <string>
#include <vector>

// What is listened to: clips of one kind of ball in every split.
namespace downball::bench {

struct Material {
    std::string name, what;
    bool seen; // its kind of ball takes part in the fit; its seeds never do
    test::BallFamily family;
    const test::RecordedSounds* recorded = nullptr;
};

struct Plan {
    std::vector<Material> materials;
    int clips = 15;         // a split
    std::uint64_t seed = 1; // of the first; those of the fit start at 100000
    double seconds = 20;    // a clip
    bool peers = true;      // listen with others too
};

inline test::MixedClip clip_of(const Plan& plan, const Material& material, test::Split split, int number) {
    return test::mixed_clip(split, plan.seed + static_cast<std::uint64_t>(number), plan.seconds,
                            material.family, material.recorded);
}

} // namespace downball::bench
