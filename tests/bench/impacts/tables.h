// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "bench/impacts/trials.h"

#include <functional>
#include <string>
#include <vector>

// The bench's sections, printed.
namespace downball::bench {

using Which = std::function<bool(const Trial&)>;

// What a listener made of the clips that `which` takes.
std::vector<const Tally*> tallies(const std::vector<Trial>& trials, const std::string& listener,
                                  const Which& which);

Which every_split(const Material& material);
Which one_split(const Material& material, test::Split split);
Which kind(bool seen);

void print_scores(const std::vector<Trial>& trials, const std::vector<const Material*>& materials);
void print_peers(const std::vector<Trial>& trials, const std::vector<Material>& materials);
void print_calibration(const std::vector<Trial>& trials);
void print_mistakes(const std::vector<Trial>& trials, bool seen);

// Downball's F for later comparison, a line a material and split: material, split, F at 50, 20 and 10 ms, and for
// every skill the share found. False if the file cannot be written.
bool write_figures(const std::string& path, const std::vector<Trial>& trials, const Plan& plan);

} // namespace downball::bench
