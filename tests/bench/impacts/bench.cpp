// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
// Scores the contact detector on generated clips that no fit has seen, beside general onset detectors and a
// detector that hears nothing. Prints figures; changes nothing.
//   impacts_bench [clips a split = 15] [first seed = 1]
#include "support/clip_synth.h"
#include "support/hit_score.h"

#include "downball/impacts/impact_finder.h"

#include <array>
#include <aubio/aubio.h>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <functional>
#include <map>
#include <string>
#include <vector>

using namespace downball;

namespace {

using Found = std::vector<Heard>;
using Detector = std::function<Found(const test::MixedClip&)>;

double cpu_s() {
    return static_cast<double>(std::clock()) / CLOCKS_PER_SEC;
}

Found ours(const test::MixedClip& clip) {
    impacts::ImpactFinder finder(clip.rate_hz, static_cast<int>(clip.channels.size()), {.floor = 0});
    std::vector<const float*> channels;
    constexpr std::size_t step = 4096;
    for (std::size_t at = 0; at < clip.channels[0].size(); at += step) {
        channels.clear();
        for (const auto& c : clip.channels)
            channels.push_back(c.data() + at);
        if (!finder.push({channels, std::min(step, clip.channels[0].size() - at)})) std::abort();
    }
    return finder.finish().value().contacts;
}

// One onset method on the downmix, with its own default threshold.
Found general(const std::string& method, const test::MixedClip& clip) {
    constexpr uint_t window = 1024, hop = 256;
    aubio_onset_t* onset = new_aubio_onset(method.c_str(), window, hop, static_cast<uint_t>(clip.rate_hz));
    fvec_t* in = new_fvec(hop);
    fvec_t* out = new_fvec(1);
    Found found;
    for (std::size_t at = 0; at + hop <= clip.channels[0].size(); at += hop) {
        for (uint_t i = 0; i < hop; ++i) {
            float sum = 0;
            for (const auto& c : clip.channels)
                sum += c[at + i];
            in->data[i] = sum / static_cast<float>(clip.channels.size());
        }
        aubio_onset_do(onset, in, out);
        if (out->data[0] > 0) found.push_back({static_cast<double>(aubio_onset_get_last_s(onset)), 1, 1});
    }
    del_fvec(out);
    del_fvec(in);
    del_aubio_onset(onset);
    return found;
}

Found regular(const test::MixedClip& clip) {
    Found found;
    for (double t = 0.5; t < clip.seconds(); t += 1.2)
        found.push_back({t, 1, 1});
    return found;
}

std::vector<double> instants(const Found& found, double floor) {
    std::vector<double> out;
    for (const Heard& h : found)
        if (h.confidence >= floor) out.push_back(h.sound_s);
    return out;
}

struct Tally {
    std::array<std::size_t, 3> hits{}; // at 50, 20, 10 ms
    std::size_t found = 0, truth = 0;
    std::vector<double> errors_s;
    std::vector<std::pair<double, bool>> judged; // confidence, true at 50 ms
    double seconds = 0, cpu = 0;

    void add(const test::MixedClip& clip, const Found& heard, double spent) {
        constexpr std::array<double, 3> windows{0.050, 0.020, 0.010};
        const std::vector<double> sure = instants(heard, impacts::default_floor);
        for (std::size_t w = 0; w < windows.size(); ++w) {
            const test::Pairing p = test::pair_up(sure, clip.contacts, windows[w]);
            hits[w] += p.hits;
            if (w == 0) errors_s.insert(errors_s.end(), p.errors_s.begin(), p.errors_s.end());
        }
        found += sure.size();
        truth += clip.contacts.size();
        const test::Pairing all = test::pair_up(instants(heard, 0), clip.contacts, 0.050);
        for (std::size_t i = 0; i < heard.size(); ++i)
            judged.push_back({heard[i].confidence, all.truth_of[i] >= 0});
        seconds += clip.seconds();
        cpu += spent;
    }
    double average_precision() const {
        auto order = judged;
        std::stable_sort(order.begin(), order.end(), [](auto& a, auto& b) { return a.first > b.first; });
        double sum = 0, good = 0;
        for (std::size_t i = 0; i < order.size(); ++i)
            if (order[i].second) sum += ++good / static_cast<double>(i + 1);
        return truth ? sum / static_cast<double>(truth) : 0;
    }
    void print(const std::string& who, const std::string& split) const {
        const auto f = [&](std::size_t w) { return test::f_measure(hits[w], found, truth); };
        const double wrong = static_cast<double>(found - hits[0]);
        std::vector<double> sizes;
        for (const double e : errors_s)
            sizes.push_back(std::abs(e));
        std::printf("%-10s %-6s", who.c_str(), split.c_str());
        if (truth)
            std::printf(
                " F50 %.3f  F20 %.3f  F10 %.3f  P %.3f  R %.3f  AP %.3f  median %+6.2f ms  |err| %5.2f ms",
                f(0), f(1), f(2), found ? static_cast<double>(hits[0]) / static_cast<double>(found) : 1,
                static_cast<double>(hits[0]) / static_cast<double>(truth), average_precision(),
                1000 * test::median_of(errors_s), 1000 * test::median_of(sizes));
        std::printf("  false/min %6.2f  cpu %5.2f ms/s\n", 60 * wrong / seconds, 1000 * cpu / seconds);
    }
};

void print_calibration(const Tally& all) {
    std::printf("\ncalibration of the confidence (all splits)\n  range      stated  true   count\n");
    double error = 0;
    for (int bin = 0; bin < 10; ++bin) {
        double stated = 0, good = 0, count = 0;
        for (const auto& [confidence, is_true] : all.judged) {
            if (std::min(9, static_cast<int>(confidence * 10)) != bin) continue;
            stated += confidence;
            good += is_true;
            ++count;
        }
        if (count == 0) continue;
        std::printf("  %.1f - %.1f  %.3f   %.3f  %.0f\n", bin / 10.0, (bin + 1) / 10.0, stated / count,
                    good / count, count);
        error += std::abs(stated - good) / static_cast<double>(all.judged.size());
    }
    std::printf("  expected calibration error %.4f\n", error);
}

} // namespace

int main(int argc, char** argv) {
    const int clips = argc > 1 ? std::atoi(argv[1]) : 15;
    const unsigned long seed = argc > 2 ? std::strtoul(argv[2], nullptr, 10) : 1;
    std::vector<std::pair<std::string, Detector>> detectors{{"downball", ours}, {"regular", regular}};
    for (const char* method : {"energy", "hfc", "complex", "specflux", "kl"})
        detectors.push_back({method, [method](const auto& clip) { return general(method, clip); }});

    for (const auto family : {test::BallFamily::modes, test::BallFamily::shell}) {
        std::printf("%s balls of the family %s, %d clips of 20 s a split, seeds from %lu\n",
                    family == test::BallFamily::modes ? "" : "\n",
                    family == test::BallFamily::modes ? "'modes'" : "'shell' (in no fit)", clips, seed);
        std::map<std::string, std::map<std::string, Tally>> tallies;
        for (const test::Split split : test::all_splits) {
            for (int i = 0; i < clips; ++i) {
                const auto clip = test::mixed_clip(split, seed + static_cast<unsigned long>(i), 20, family);
                for (const auto& [name, detect] : detectors) {
                    const double start = cpu_s();
                    const Found found = detect(clip);
                    const double spent = cpu_s() - start;
                    tallies[name][test::name_of(split)].add(clip, found, spent);
                    tallies[name]["all"].add(clip, found, spent);
                }
            }
        }
        for (const auto& [name, detect] : detectors) {
            for (const test::Split split : test::all_splits)
                if (name == "downball" || split == test::Split::empty)
                    tallies[name][test::name_of(split)].print(name, test::name_of(split));
            tallies[name]["all"].print(name, "all");
        }
        print_calibration(tallies["downball"]["all"]);
    }
}
