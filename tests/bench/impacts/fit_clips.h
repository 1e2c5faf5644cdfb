// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "bench/impacts/bank.h"
#include "bench/impacts/candidates.h"
#include "support/clip_synth.h"

#include <array>
#include <atomic>
#include <cmath>
#include <thread>
#include <vector>

// The clips a fit is made from, and which of their candidates are contacts.
namespace downball::bench {

using namespace downball::impacts;

enum class Label { other, contact, same_sound };

struct FitClip {
    Near candidates;
    std::vector<double> contacts;
    std::vector<Skill> skills;
};

// Clips a split, all from the bank's half for the fit.
struct FitMaterial {
    int made = 360;    // balls made by rule, `modes` and `thump` in turn, half over recorded beds
    int recorded = 50; // recorded balls
    unsigned long seed = 100000;
};

inline FitClip listen(const test::MixedClip& clip) {
    return {candidates_of(clip, Models{}), clip.contacts, clip.skills};
}

inline test::MixedClip fit_clip(const FitMaterial& material, const test::RecordedSounds& recorded,
                                int index) {
    constexpr auto splits = static_cast<int>(test::all_splits.size());
    const test::Split split = test::all_splits[static_cast<std::size_t>(index % splits)];
    const int i = index / splits;
    const auto seed = material.seed + static_cast<unsigned long>(i);
    constexpr std::array<double, 3> lengths_s{8, 14, 20}; // a contact has little company in a short one
    const double seconds = lengths_s[static_cast<std::size_t>(i / 12) % lengths_s.size()];
    const double hush_db = i / 4 % 3 ? 0 : 9; // fingers under a set may be hardly heard
    if (i >= material.made)
        return test::mixed_clip(split, seed, seconds, test::BallFamily::recorded, &recorded, hush_db);
    return test::mixed_clip(split, seed, seconds, i % 2 ? test::BallFamily::thump : test::BallFamily::modes,
                            i / 2 % 2 ? &recorded : nullptr, hush_db);
}

// In the order of the index, however many threads there are.
inline std::vector<FitClip> fit_clips(const FitMaterial& material, const test::RecordedSounds& recorded) {
    const int count = (material.made + material.recorded) * static_cast<int>(test::all_splits.size());
    std::vector<FitClip> clips(static_cast<std::size_t>(count));
    std::atomic<int> next = 0;
    std::vector<std::thread> threads;
    for (unsigned t = 0; t < std::max(1u, std::thread::hardware_concurrency()); ++t)
        threads.emplace_back([&] {
            for (int i = next++; i < count; i = next++)
                clips[static_cast<std::size_t>(i)] = listen(fit_clip(material, recorded, i));
        });
    for (std::thread& t : threads)
        t.join();
    return clips;
}

struct Labels {
    std::vector<Label> of;
    std::vector<std::ptrdiff_t> truth; // index of its contact, or -1
};

// The nearest sound to a contact is one; those that share its sound are neither one nor none.
template <class Sounds>
Labels labels_of(const FitClip& clip, const Sounds& sounds) {
    constexpr double near_s = 0.012;
    Labels labels{std::vector<Label>(sounds.size(), Label::other),
                  std::vector<std::ptrdiff_t>(sounds.size(), -1)};
    for (std::size_t t = 0; t < clip.contacts.size(); ++t) {
        std::size_t best = sounds.size();
        double nearest = near_s;
        for (std::size_t i = 0; i < sounds.size(); ++i) {
            const double apart = sounds[i].seconds - clip.contacts[t];
            if (apart > -0.03 && apart < 0.08 && labels.of[i] == Label::other)
                labels.of[i] = Label::same_sound;
            if (std::abs(apart) <= nearest) {
                nearest = std::abs(apart);
                best = i;
            }
        }
        if (best == sounds.size()) continue;
        labels.of[best] = Label::contact;
        labels.truth[best] = static_cast<std::ptrdiff_t>(t);
    }
    return labels;
}

} // namespace downball::bench
