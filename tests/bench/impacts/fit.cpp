// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
// Fits the curves of src/impacts/model.cpp on generated clips and prints the file.
//   impacts_fit BANK > src/impacts/model.cpp                      BANK: a folder made by bank.py
//   impacts_fit --control BANK > tests/bench/impacts/control_model.cpp
//   impacts_fit [--control] BANK [made] [recorded] [seed]         clips a split, first seed
#include "bench/impacts/curve_fit.h"
#include "bench/impacts/fit_clips.h"
#include "impacts/curve_model.h"
#include "impacts/kin.h"
#include "impacts/rally.h"

#include "downball/impacts/impact_finder.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <initializer_list>
#include <string>
#include <vector>

using namespace downball;
using namespace downball::bench;

namespace {

// What a candidate is told by: all features, or for the control those that know nothing of its shape.
struct Choice {
    std::vector<Feature> first, second, rally, hard;
};

std::vector<Feature> range(Feature from, Feature to) {
    std::vector<Feature> features;
    for (auto f = static_cast<std::size_t>(from); f < static_cast<std::size_t>(to); ++f)
        features.push_back(static_cast<Feature>(f));
    return features;
}

Choice all_features() {
    return {range(Feature::rise_rumble, Feature::first),
            range(Feature::rise_rumble, Feature::second),
            {Feature::second, Feature::rally},
            {Feature::kin_level, Feature::rank, Feature::attack, Feature::slap_20, Feature::balance,
             Feature::slap_colour, Feature::rise_210, Feature::rise_3400}};
}

Choice no_shape() {
    std::vector<Feature> first{Feature::rise_850, Feature::before, Feature::density, Feature::comb,
                               Feature::after,    Feature::repeat, Feature::rank};
    std::vector<Feature> second = first;
    second.insert(second.end(), {Feature::first, Feature::kin_sure, Feature::kin_level});
    return {first, second, {Feature::second, Feature::rally}, {Feature::kin_level}};
}

using Examples = std::vector<Example>;

// From the 2nd to the 98th hundredth of what was seen.
std::vector<Curve> curves_over(const Examples& examples, const std::vector<Feature>& features) {
    std::vector<Curve> curves;
    std::vector<float> values(examples.size());
    for (const Feature f : features) {
        for (std::size_t i = 0; i < examples.size(); ++i)
            values[i] = examples[i].features[f];
        std::sort(values.begin(), values.end());
        const auto at = [&](double share) {
            const auto i = static_cast<std::size_t>(share * static_cast<double>(values.size() - 1));
            return std::round(10 * values[i]) / 10;
        };
        const float low = at(0.02), high = std::max(low + 0.1f, at(0.98));
        curves.push_back({f, low, high, {}, {}});
    }
    return curves;
}

struct Fitted {
    std::vector<Curve> curves;
    float bias = 0;
    CurveModel model() const { return {bias, curves}; }
};

Fitted fit(const Examples& examples, const std::vector<Feature>& features) {
    CurveFit fit(curves_over(examples, features));
    fit.run(examples);
    const CurveModel model = fit.model();
    return {{model.curves.begin(), model.curves.end()}, model.bias};
}

Examples candidates(const std::vector<FitClip>& clips) {
    Examples examples;
    for (const FitClip& clip : clips) {
        const Labels labels = labels_of(clip, clip.candidates);
        for (std::size_t i = 0; i < labels.of.size(); ++i)
            if (labels.of[i] != Label::same_sound)
                examples.push_back({clip.candidates[i].features, clearness(clip.candidates[i].features),
                                    labels.of[i] == Label::contact});
    }
    return examples;
}

// Of the contacts alone: which are hard ones.
Examples hard_ones(const std::vector<FitClip>& clips) {
    Examples examples;
    for (const FitClip& clip : clips) {
        const Labels labels = labels_of(clip, clip.candidates);
        for (std::size_t i = 0; i < labels.of.size(); ++i) {
            if (labels.of[i] != Label::contact) continue;
            const Skill skill = clip.skills[static_cast<std::size_t>(labels.truth[i])];
            examples.push_back({clip.candidates[i].features, clearness(clip.candidates[i].features),
                                skill == Skill::serve || skill == Skill::attack || skill == Skill::block});
        }
    }
    return examples;
}

Examples in_rallies(const std::vector<FitClip>& clips, const Models& models) {
    Examples examples;
    for (const FitClip& clip : clips) {
        std::vector<Scored> scored;
        for (const Candidate& c : clip.candidates)
            scored.push_back(scored_of(models, c));
        scored = merge_close(scored, ImpactOptions{}.min_gap_s);
        const std::vector<InRally> rallies = read_rallies(scored);
        const Labels labels = labels_of(clip, scored);
        for (std::size_t i = 0; i < scored.size(); ++i)
            if (labels.of[i] != Label::same_sound)
                examples.push_back(
                    {rally_features(scored[i], rallies[i]), scored[i].clear, labels.of[i] == Label::contact});
    }
    return examples;
}

void print(const std::string& name, const Fitted& fitted) {
    std::printf("constexpr float %s_bias = %.3ff;\nconstexpr std::array<Curve, %zu> %s_curves{{\n",
                name.c_str(), static_cast<double>(fitted.bias), fitted.curves.size(), name.c_str());
    for (const Curve& c : fitted.curves) {
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

} // namespace

int main(int argc, char** argv) {
    std::vector<std::string> words(argv + 1, argv + argc);
    const bool control = !words.empty() && words[0] == "--control";
    if (control) words.erase(words.begin());
    if (words.empty()) {
        std::fprintf(stderr, "impacts_fit: name a bank of sounds; bank.py makes one\n");
        return 2;
    }
    FitMaterial material;
    if (words.size() > 1) material.made = std::atoi(words[1].c_str());
    if (words.size() > 2) material.recorded = std::atoi(words[2].c_str());
    if (words.size() > 3) material.seed = std::strtoul(words[3].c_str(), nullptr, 10);

    std::vector<FitClip> clips = fit_clips(material, load_bank(words[0], "fit"));
    const Choice choice = control ? no_shape() : all_features();
    Examples examples = candidates(clips);
    const auto contacts = static_cast<std::size_t>(
        std::count_if(examples.begin(), examples.end(), [](const Example& e) { return e.positive; }));
    const Fitted first = fit(examples, choice.first);
    for (FitClip& clip : clips) {
        for (Candidate& c : clip.candidates)
            c.features[Feature::first] = static_cast<float>(log_odds(first.model(), c.features));
        for (std::size_t i = 0; i < clip.candidates.size(); ++i)
            judge_kin(clip.candidates, i);
    }
    const Fitted second = fit(candidates(clips), choice.second);
    for (FitClip& clip : clips)
        for (Candidate& c : clip.candidates)
            c.features[Feature::second] = static_cast<float>(log_odds(second.model(), c.features));
    const Fitted hard = fit(hard_ones(clips), choice.hard);
    const Models so_far{first.model(), second.model(), {}, hard.model()};
    const Fitted rally = fit(in_rallies(clips, so_far), choice.rally);

    std::printf(
        "// SPDX-FileCopyrightText: The Downball authors\n// SPDX-License-Identifier: GPL-3.0-or-later\n"
        "#include \"%s\"\n\n"
        "// Fitted by tests/bench/impacts/fit.cpp (penalised logistic regression, Newton's method) on clips "
        "of "
        "20 s,\n"
        "// seeds from %lu on: %d a split with balls made by rule (families `modes` and `thump`), %d a split "
        "with\n"
        "// the `fit` half of the bank of recorded sounds; %zu contacts against %zu other candidates.\n"
        "namespace downball::%s {\nnamespace {\n\n%s"
        "// Feature, its lowest and highest knot, and what it adds to the log-odds at the knots: for faint\n"
        "// sounds, for clear sounds.\n"
        "// clang-format off\n",
        control ? "bench/impacts/control.h" : "impacts/curve_model.h", material.seed, material.made,
        material.recorded, contacts, examples.size() - contacts, control ? "bench" : "impacts",
        control ? "using namespace downball::impacts;\n\n" : "");
    print("first", first);
    print("second", second);
    print("rally", rally);
    print("hard", hard);
    std::printf("// clang-format on\n\n} // namespace\n\n"
                "const Models& %s_models() {\n"
                "    static const Models models{{first_bias, first_curves},\n"
                "                               {second_bias, second_curves},\n"
                "                               {rally_bias, rally_curves},\n"
                "                               {hard_bias, hard_curves}};\n"
                "    return models;\n}\n\n} // namespace downball::%s\n",
                control ? "control" : "fitted", control ? "bench" : "impacts");
}
