// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
// Fits the tool's tables and the control's on generated clips and writes the files.
//   impacts_fit BANK src/impacts/model.cpp tests/bench/impacts/control_model.cpp
// BANK is a folder made by bank.py.
#include "bench/impacts/curve_fit.h"
#include "bench/impacts/fit_clips.h"
#include "impacts/curve_model.h"
#include "impacts/kin.h"
#include "impacts/rally.h"

#include "downball/impacts/impact_finder.h"
#include "downball/model/flight_times.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <fmt/format.h>
#include <future>
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
    std::vector<Feature> first{Feature::rise_850, Feature::before, Feature::density,
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
            examples.push_back(
                {clip.candidates[i].features, clearness(clip.candidates[i].features), is_hard(skill)});
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

struct Tables {
    Fitted first, second, rally, hard;
};

Tables fit_all(std::vector<FitClip> clips, const Choice& choice) {
    const Fitted first = fit(candidates(clips), choice.first);
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
    return {first, second, fit(in_rallies(clips, so_far), choice.rally), hard};
}

// Where a table is to stand.
struct Place {
    std::string header, space, name, notes;
};

void write(std::FILE* to, const std::string& name, const Fitted& fitted) {
    fmt::print(to, "constexpr float {}_bias = {:.3f}f;\nconstexpr std::array<Curve, {}> {}_curves{{{{\n",
               name, fitted.bias, fitted.curves.size(), name);
    for (const Curve& c : fitted.curves) {
        fmt::print(to, "    {{Feature::{:<12} {:6.1f}f, {:6.1f}f,", fmt::format("{},", name_of(c.feature)),
                   c.low, c.high);
        fmt::print(to, " {{{:5.2f}f}}, {{{:5.2f}f}}}},\n", fmt::join(c.faint, "f, "),
                   fmt::join(c.clear, "f, "));
    }
    fmt::print(to, "}}}};\n\n");
}

void write(const std::string& path, const Place& place, const Tables& tables) {
    std::FILE* to = std::fopen(path.c_str(), "w");
    if (!to) {
        fmt::print(stderr, "{}: cannot be written; is its folder there?\n", path);
        std::exit(5);
    }
    fmt::print(
        to,
        "// SPDX-FileCopyrightText: The Downball authors\n"
        "// SPDX-License-Identifier: GPL-3.0-or-later\n"
        "#include \"{}\"\n\n{}"
        "namespace downball::{} {{\nnamespace {{\n\n"
        "// Feature, its lowest and highest knot, and what it adds to the log-odds at the knots: for faint\n"
        "// sounds, for clear sounds.\n"
        "// clang-format off\n",
        place.header, place.notes, place.space);
    write(to, "first", tables.first);
    write(to, "second", tables.second);
    write(to, "rally", tables.rally);
    write(to, "hard", tables.hard);
    fmt::print(to,
               "// clang-format on\n\n}} // namespace\n\n"
               "const Models& {}() {{\n"
               "    static const Models models{{{{first_bias, first_curves}},\n"
               "                               {{second_bias, second_curves}},\n"
               "                               {{rally_bias, rally_curves}},\n"
               "                               {{hard_bias, hard_curves}}}};\n"
               "    return models;\n}}\n\n}} // namespace downball::{}\n",
               place.name, place.space);
    if (std::fclose(to) != 0) {
        fmt::print(stderr, "{}: could not be written whole; is the disk full?\n", path);
        std::exit(5);
    }
}

} // namespace

int main(int argc, char** argv) {
    if (argc != 4) {
        fmt::print(stderr, "impacts_fit: name a bank of sounds and the two files to write\n");
        return 2;
    }
    const FitMaterial material;
    const std::vector<FitClip> clips = fit_clips(material, load_bank(argv[1], "fit"));
    const Examples examples = candidates(clips);
    const auto contacts =
        std::count_if(examples.begin(), examples.end(), [](const Example& e) { return e.positive; });
    const std::string notes = fmt::format("// Fitted by tests/bench/impacts/fit.cpp (penalised logistic "
                                          "regression, Newton's method) on clips of 8\n"
                                          "// to 20 s, seeds from {} on: {} a split with balls made by rule "
                                          "(families `modes` and `thump`), every\n"
                                          "// other two over beds of the bank of recorded sounds, {} a split "
                                          "with its balls, of its `fit` half\n"
                                          "// alone; {} contacts against {} other candidates.\n",
                                          material.seed, material.made, material.recorded, contacts,
                                          static_cast<std::ptrdiff_t>(examples.size()) - contacts);
    auto control = std::async(std::launch::async, [&] { return fit_all(clips, no_shape()); });
    write(argv[2], {"impacts/curve_model.h", "impacts", "fitted_models", notes},
          fit_all(clips, all_features()));
    write(argv[3],
          {"bench/impacts/control.h", "bench", "control_models",
           notes + "\nusing namespace downball::impacts;\n\n"},
          control.get());
}
