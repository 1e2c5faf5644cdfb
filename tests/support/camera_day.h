// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/splitmix64.h"
#include "downball/clocks/day_clock.h"

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

namespace downball::test {

// A day of rallies and the cameras that filmed some of them, each by a clock of its own. What is true is kept beside
// what the cameras tell.
struct CameraSetting {
    std::string name;
    double share = 0.5;  // of the rallies it films
    double offset_s = 0; // added to its clock gives the true time, in the middle of the day
    double drift_ppm = 0;
    double step_s = 1;      // its clock is cut down to whole steps
    double hears = 0.75;    // of the contacts
    double closes_in = 0.4; // share of its recordings that hold only a part of the rally
};

struct FilmedDay {
    std::vector<clocks::Recording> recordings;
    std::vector<double> began_s; // true
    std::vector<int> rally;      // filmed by each recording; -1 = none
};

inline FilmedDay film_day(std::uint64_t seed, int rallies, const std::vector<CameraSetting>& cameras) {
    SplitMix64 random(seed);
    const auto between = [&](double low, double high) { return low + (high - low) * random.unit(); };
    std::vector<std::vector<double>> played;
    double at_s = 1784000000; // some day in 2026
    for (int r = 0; r < rallies; ++r) {
        at_s += random.chance(0.04) ? between(300, 2400) : between(17, 50);
        // Serve, pass, set, attack, and so on over the net until it falls: the times between them are much alike in all
        // rallies, by the flight times of facts A2.8 to A2.10.
        std::vector<double> contacts{at_s};
        const auto after = [&](double low_s, double high_s) {
            contacts.push_back(contacts.back() + between(low_s, high_s));
        };
        bool first = true;
        while (random.chance(first ? 0.9 : 0.5)) {
            first ? after(0.6, 1.0) : after(0.25, 0.5); // reception, or a dig
            if (random.chance(0.12)) break;
            after(1.0, 1.45); // set
            if (random.chance(0.05)) break;
            after(0.75, 1.3); // attack
            first = false;
        }
        at_s = contacts.back();
        played.push_back(std::move(contacts));
    }
    const double middle_s = (played.front().front() + at_s) / 2;
    FilmedDay day;
    for (const CameraSetting& camera : cameras) {
        for (int r = 0; r < rallies; ++r) {
            if (!random.chance(camera.share)) continue;
            const auto& contacts = played[static_cast<std::size_t>(r)];
            std::size_t first = 0, last = contacts.size() - 1;
            if (random.chance(camera.closes_in)) {
                first = static_cast<std::size_t>(between(0, static_cast<double>(contacts.size())));
                last = std::min(last, first + static_cast<std::size_t>(between(0, 3)));
            }
            const double began_s = contacts[first] - between(0.4, 3),
                         end_s = contacts[last] + between(0.5, 3);
            clocks::Recording one{camera.name, {}, end_s - began_s, {}};
            for (const double contact_s : contacts)
                if (contact_s > began_s && contact_s < end_s && random.chance(camera.hears))
                    one.contacts.push_back({contact_s - began_s + between(0.005, 0.055), between(0.5, 1)});
            for (double false_s = between(0, 30); false_s < one.real_s; false_s += between(0, 60))
                one.contacts.push_back({false_s, between(0.5, 0.7)});
            std::sort(one.contacts.begin(), one.contacts.end(),
                      [](const clocks::Contact& a, const clocks::Contact& b) { return a.at_s < b.at_s; });
            const double shown_s = began_s - camera.offset_s - camera.drift_ppm * 1e-6 * (began_s - middle_s);
            one.began = clocks::Began{std::floor(shown_s / camera.step_s) * camera.step_s + camera.step_s / 2,
                                      camera.step_s};
            day.recordings.push_back(std::move(one));
            day.began_s.push_back(began_s);
            day.rally.push_back(r);
        }
    }
    return day;
}

} // namespace downball::test
