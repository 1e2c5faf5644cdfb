// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "bench/impacts/material.h"
#include "bench/impacts/onset_peer.h"
#include "bench/impacts/tally.h"

#include <map>
#include <string>
#include <vector>

namespace downball::bench {

// What every listener made of one clip.
struct Trial {
    const Material* material;
    test::Split split;
    int number;
    std::map<std::string, Tally> of; // by the listener's name
    // By onset method: at each of the thresholds.
    std::map<std::string, std::array<Tally, thresholds.size()>> swept;
};

// Whoever hears a clip whole, the first of them downball.
std::vector<Detector> detectors();

// All clips of the plan, two at a time; the same order and figures however the threads run, but for the CPU time.
std::vector<Trial> run(const Plan& plan);

} // namespace downball::bench
