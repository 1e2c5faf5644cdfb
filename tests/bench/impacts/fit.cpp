// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
// Fits the curves of src/impacts/model.cpp on generated clips and prints the file.
//   impacts_fit [clips a split = 80] [first seed = 100000] > src/impacts/model.cpp
#include "bench/impacts/curve_fit.h"
#include "impacts/curve_model.h"
#include "impacts/kin.h"
#include "impacts/listener.h"
#include "support/clip_synth.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <string>
#include <vector>

using namespace downball;
using namespace downball::bench;

namespace {

enum class Label { other, contact, same_sound };

struct Heard {
    Near candidates;
    std::vector<Label> labels;
};

Near candidates_of(const test::MixedClip& clip) {
    Near found;
    Listener listener(clip.rate_hz, static_cast<int>(clip.channels.size()), CurveModel{},
                      [&](const Candidate& c) { found.push_back(c); });
    std::vector<const float*> channels;
    for (const auto& c : clip.channels)
        channels.push_back(c.data());
    listener.push({channels, clip.channels[0].size()});
    listener.finish();
    return found;
}

// The nearest candidate to a contact is one; those that share its sound are neither one nor none.
std::vector<Label> labels_of(const test::MixedClip& clip, const Near& found) {
    constexpr double near_s = 0.012;
    std::vector<Label> labels(found.size(), Label::other);
    for (const double truth : clip.contacts) {
        std::size_t best = found.size();
        for (std::size_t i = 0; i < found.size(); ++i) {
            const double apart = found[i].seconds - truth;
            if (apart > -0.03 && apart < 0.08 && labels[i] == Label::other) labels[i] = Label::same_sound;
            if (std::abs(apart) <= near_s &&
                (best == found.size() || std::abs(apart) < std::abs(found[best].seconds - truth)))
                best = i;
        }
        if (best < found.size()) labels[best] = Label::contact;
    }
    return labels;
}

std::vector<Example> examples_of(const std::vector<Heard>& heard) {
    std::vector<Example> examples;
    for (const Heard& h : heard)
        for (std::size_t i = 0; i < h.candidates.size(); ++i)
            if (h.labels[i] != Label::same_sound)
                examples.push_back({h.candidates[i].features, h.labels[i] == Label::contact});
    return examples;
}

// From the 2nd to the 98th hundredth of what was seen.
std::vector<Curve> ranges(const std::vector<Example>& examples, std::size_t first, std::size_t last) {
    std::vector<Curve> curves;
    std::vector<float> values(examples.size());
    for (std::size_t f = first; f < last; ++f) {
        for (std::size_t i = 0; i < examples.size(); ++i)
            values[i] = examples[i].features.values[f];
        std::sort(values.begin(), values.end());
        const auto at = [&](double share) {
            return std::round(
                       10 *
                       values[static_cast<std::size_t>(share * static_cast<double>(values.size() - 1))]) /
                   10;
        };
        const float low = at(0.02), high = std::max(low + 0.1f, at(0.98));
        curves.push_back({static_cast<Feature>(f), low, high, {}, {}});
    }
    return curves;
}

CurveModel fitted(CurveFit& fit, const std::vector<Example>& examples) {
    fit.run(examples);
    return fit.model();
}

void print(const std::string& name, const CurveModel& model) {
    std::printf("constexpr std::array<Curve, %zu> %s_curves{{\n", model.curves.size(), name.c_str());
    for (const Curve& c : model.curves) {
        std::printf("    {Feature::%-12s %6.1ff, %6.1ff,", (std::string(name_of(c.feature)) + ",").c_str(),
                    static_cast<double>(c.low), static_cast<double>(c.high));
        for (const auto* at : {&c.faint, &c.clear}) {
            std::printf(" {");
            for (std::size_t k = 0; k < knot_count; ++k)
                std::printf("%s%5.2ff", k ? ", " : "", static_cast<double>((*at)[k]));
            std::printf(at == &c.faint ? "}," : "}},\n");
        }
    }
    std::printf("}};\n\n");
}

void print_getter(const std::string& name, const CurveModel& model) {
    std::printf("const CurveModel& %s_model() {\n    static const CurveModel model{%.3ff, %s_curves};\n"
                "    return model;\n}\n\n",
                name.c_str(), static_cast<double>(model.bias), name.c_str());
}

} // namespace

int main(int argc, char** argv) {
    const int clips = argc > 1 ? std::atoi(argv[1]) : 80;
    const unsigned long seed = argc > 2 ? std::strtoul(argv[2], nullptr, 10) : 100000;
    std::vector<Heard> heard;
    std::size_t truths = 0;
    for (int i = 0; i < clips; ++i) {
        for (const test::Split split : test::all_splits) {
            const test::MixedClip clip = test::mixed_clip(split, seed + static_cast<unsigned long>(i));
            Near found = candidates_of(clip);
            std::vector<Label> labels = labels_of(clip, found);
            truths += clip.contacts.size();
            heard.push_back({std::move(found), std::move(labels)});
        }
    }
    std::vector<Example> examples = examples_of(heard);
    const auto contacts = static_cast<std::size_t>(
        std::count_if(examples.begin(), examples.end(), [](const Example& e) { return e.contact; }));
    std::fprintf(stderr, "%zu candidates, %zu contacts of %zu met by one\n", examples.size(), contacts,
                 truths);

    CurveFit first_fit(ranges(examples, 0, first_count));
    const CurveModel first = fitted(first_fit, examples);
    for (Heard& h : heard) {
        for (Candidate& c : h.candidates)
            c.features[Feature::first] = static_cast<float>(log_odds(first, c.features));
        for (std::size_t i = 0; i < h.candidates.size(); ++i)
            judge_kin(h.candidates, i);
    }
    examples = examples_of(heard);
    CurveFit kin_fit(ranges(examples, first_count, feature_count));
    const CurveModel kin = fitted(kin_fit, examples);

    std::printf(
        "// SPDX-FileCopyrightText: The Downball authors\n// SPDX-License-Identifier: GPL-3.0-or-later\n"
        "#include \"impacts/curve_model.h\"\n\n"
        "// Fitted by tests/bench/impacts/fit.cpp (penalised logistic regression, Newton's method) on "
        "generated\n"
        "// clips alone: %d clips of 20 s a split, seeds from %lu on, balls of the family `modes`; %zu "
        "contacts\n"
        "// against %zu other candidates. No recording had a part in it. To fit again:\n"
        "//   impacts_fit %d %lu > src/impacts/model.cpp\n"
        "namespace downball::impacts {\nnamespace {\n\n"
        "// Feature, its lowest and highest knot, and what it adds to the log-odds at the knots: for faint\n"
        "// sounds, for clear sounds.\n"
        "// clang-format off\n",
        clips, seed, contacts, examples.size() - contacts, clips, seed);
    print("first", first);
    print("kin", kin);
    std::printf("// clang-format on\n\n} // namespace\n\n");
    print_getter("first", first);
    print_getter("kin", kin);
    std::printf("} // namespace downball::impacts\n");
}
