// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/impacts/trials.h"

#include "bench/impacts/control.h"

#include <atomic>
#include <thread>

namespace downball::bench {

namespace {

void listen(Trial& trial, const test::MixedClip& clip, const std::vector<Detector>& listeners, bool peers) {
    for (const Detector& detector : listeners) {
        const double begin_s = cpu_s();
        const Found found = detector.find(clip);
        trial.of[detector.name] = tally_of(clip, found, cpu_s() - begin_s);
    }
    if (!peers) return;
    for (const char* method : onset_methods) {
        const Onsets heard = hear_onsets(method, clip);
        trial.of[method] = tally_of(clip, heard.own, heard.cpu_s);
        for (std::size_t i = 0; i < thresholds.size(); ++i)
            trial.swept[method][i] = tally_of(clip, heard.other[i], heard.cpu_s);
    }
}

} // namespace

std::vector<Detector> detectors() {
    return {{"downball", ours}, without_rallies(), control(), {"regular", regular}};
}

std::vector<Trial> run(const Plan& plan) {
    std::vector<Trial> trials;
    for (const Material& material : plan.materials)
        for (const test::Split split : test::all_splits)
            for (int i = 0; i < plan.clips; ++i)
                trials.push_back({&material, split, i, {}, {}});
    const std::vector<Detector> listeners = detectors();
    std::atomic<std::size_t> next = 0;
    const auto work = [&] {
        for (std::size_t i = next++; i < trials.size(); i = next++) {
            Trial& t = trials[i];
            listen(t, clip_of(plan, *t.material, t.split, t.number), listeners, plan.peers);
        }
    };
    std::jthread second(work);
    work();
    second.join();
    return trials;
}

} // namespace downball::bench
