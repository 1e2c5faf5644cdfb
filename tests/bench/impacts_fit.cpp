// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
// Fits the curves of src/impacts/model.cpp on generated clips and prints the file.
//   impacts_fit [clips a split = 60] [first seed = 100000] > src/impacts/model.cpp
#include "impacts/curve_model.h"
#include "impacts/listener.h"
#include "support/clip_synth.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <string>
#include <vector>

using namespace downball;
using namespace downball::impacts;

namespace {

struct Example {
    FeatureVector features;
    bool contact;
};

std::vector<Candidate> candidates_of(const test::MixedClip& clip) {
    std::vector<Candidate> found;
    Listener listener(clip.rate_hz, static_cast<int>(clip.channels.size()),
                      [&](const Candidate& c) { found.push_back(c); });
    std::vector<const float*> channels;
    for (const auto& c : clip.channels)
        channels.push_back(c.data());
    listener.push({channels, clip.channels[0].size()});
    listener.finish();
    return found;
}

// The nearest candidate to a contact is one; those that share its sound are neither one nor none.
std::size_t label(const test::MixedClip& clip, const std::vector<Candidate>& found,
                  std::vector<Example>& into) {
    constexpr double near_s = 0.012;
    std::vector<int> kind(found.size(), 0);
    std::size_t met = 0;
    for (const double truth : clip.contacts) {
        std::size_t best = found.size();
        for (std::size_t i = 0; i < found.size(); ++i) {
            const double apart = found[i].seconds - truth;
            if (apart > -0.03 && apart < 0.08 && kind[i] == 0) kind[i] = -1;
            if (std::abs(apart) <= near_s &&
                (best == found.size() || std::abs(apart) < std::abs(found[best].seconds - truth)))
                best = i;
        }
        if (best < found.size()) {
            kind[best] = 1;
            ++met;
        }
    }
    for (std::size_t i = 0; i < found.size(); ++i)
        if (kind[i] >= 0) into.push_back({found[i].features, kind[i] == 1});
    return met;
}

// Penalised logistic regression by Newton's method: a ridge on every value and a heavier one on the bend
// (second difference) of each curve.
class Fit {
  public:
    explicit Fit(std::vector<Curve> curves)
        : curves_(std::move(curves)), weights_(1 + curves_.size() * 2 * knot_count) {}

    void run(const std::vector<Example>& examples) {
        for (int round = 0; round < 12; ++round)
            step(examples);
    }
    CurveModel model() {
        for (std::size_t c = 0; c < curves_.size(); ++c)
            for (std::size_t k = 0; k < knot_count; ++k) {
                const std::size_t i = 1 + 2 * c * knot_count + k;
                curves_[c].faint[k] = static_cast<float>(weights_[i]);
                curves_[c].clear[k] = static_cast<float>(weights_[i + knot_count]);
            }
        return {static_cast<float>(weights_[0]), curves_};
    }

  private:
    static constexpr double ridge_ = 1.0, bend_ = 6.0;

    void step(const std::vector<Example>& examples) {
        const std::size_t n = weights_.size();
        std::vector<double> gradient(n, 0), hessian(n * n, 0);
        std::vector<std::pair<std::size_t, double>> row;
        for (const Example& e : examples) {
            row.assign(1, {0, 1.0});
            const auto clear = static_cast<double>(clearness(e.features));
            for (std::size_t c = 0; c < curves_.size(); ++c) {
                const Between at = between_knots(curves_[c], e.features[curves_[c].feature]);
                const std::size_t first = 1 + 2 * c * knot_count + at.index;
                const auto share = static_cast<double>(at.share);
                for (const auto& [i, part] :
                     {std::pair(first, 1 - clear), std::pair(first + knot_count, clear)}) {
                    if (part == 0) continue;
                    row.push_back({i, part * (1 - share)});
                    row.push_back({i + 1, part * share});
                }
            }
            double z = 0;
            for (const auto& [i, x] : row)
                z += weights_[i] * x;
            const double p = probability(z), spread = std::max(1e-6, p * (1 - p));
            for (const auto& [i, x] : row) {
                gradient[i] += (p - (e.contact ? 1 : 0)) * x;
                for (const auto& [j, y] : row)
                    if (j <= i) hessian[i * n + j] += spread * x * y;
            }
        }
        for (std::size_t i = 1; i < n; ++i) {
            gradient[i] += ridge_ * weights_[i];
            hessian[i * n + i] += ridge_;
        }
        for (std::size_t c = 0; c < 2 * curves_.size(); ++c) {
            for (std::size_t k = 0; k + 2 < knot_count; ++k) {
                const std::size_t i = 1 + c * knot_count + k;
                constexpr std::array<double, 3> bend{1, -2, 1};
                const double now = weights_[i] - 2 * weights_[i + 1] + weights_[i + 2];
                for (std::size_t a = 0; a < 3; ++a) {
                    gradient[i + a] += bend_ * bend[a] * now;
                    for (std::size_t b = 0; b <= a; ++b)
                        hessian[(i + a) * n + i + b] += bend_ * bend[a] * bend[b];
                }
            }
        }
        solve(hessian, gradient);
        double longest = 0;
        for (const double g : gradient)
            longest = std::max(longest, std::abs(g));
        const double scale = std::min(1.0, 3 / longest);
        for (std::size_t i = 0; i < n; ++i)
            weights_[i] -= scale * gradient[i];
    }

    // Cholesky, in place: the lower triangle of `a`, then b becomes the solution.
    static void solve(std::vector<double>& a, std::vector<double>& b) {
        const std::size_t n = b.size();
        for (std::size_t i = 0; i < n; ++i) {
            for (std::size_t j = 0; j <= i; ++j) {
                double sum = a[i * n + j];
                for (std::size_t k = 0; k < j; ++k)
                    sum -= a[i * n + k] * a[j * n + k];
                a[i * n + j] = i == j ? std::sqrt(sum) : sum / a[j * n + j];
            }
        }
        for (std::size_t i = 0; i < n; ++i) {
            for (std::size_t k = 0; k < i; ++k)
                b[i] -= a[i * n + k] * b[k];
            b[i] /= a[i * n + i];
        }
        for (std::size_t i = n; i-- > 0;) {
            for (std::size_t k = i + 1; k < n; ++k)
                b[i] -= a[k * n + i] * b[k];
            b[i] /= a[i * n + i];
        }
    }

    std::vector<Curve> curves_;
    std::vector<double> weights_;
};

// From the 2nd to the 98th hundredth of what was seen.
std::vector<Curve> ranges(const std::vector<Example>& examples) {
    std::vector<Curve> curves;
    std::vector<float> values(examples.size());
    for (std::size_t f = 0; f < feature_count; ++f) {
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

void print(const CurveModel& model, int clips, unsigned long seed, std::size_t contacts, std::size_t others) {
    std::printf(
        "// SPDX-FileCopyrightText: The Downball authors\n// SPDX-License-Identifier: GPL-3.0-or-later\n"
        "#include \"impacts/curve_model.h\"\n\n"
        "// Fitted by tests/bench/impacts_fit.cpp (penalised logistic regression, Newton's method) on "
        "generated\n"
        "// clips alone: %d clips of 20 s a split, seeds from %lu on, balls of the family `modes`; %zu "
        "contacts\n"
        "// against %zu other candidates. No recording had a part in it. To fit again:\n"
        "//   impacts_fit %d %lu > src/impacts/model.cpp\n"
        "namespace downball::impacts {\nnamespace {\n\n"
        "// Feature, its lowest and highest knot, and what it adds to the log-odds at the knots:\n"
        "// faint sounds, clear sounds.\n"
        "// clang-format off\n"
        "constexpr std::array<Curve, feature_count> curves{{\n",
        clips, seed, contacts, others, clips, seed);
    for (const Curve& c : model.curves) {
        std::printf("    {Feature::%-12s %6.1ff, %6.1ff, {", (std::string(name_of(c.feature)) + ",").c_str(),
                    static_cast<double>(c.low), static_cast<double>(c.high));
        for (const auto* at : {&c.faint, &c.clear}) {
            for (std::size_t k = 0; k < knot_count; ++k)
                std::printf("%s%5.2ff",
                            k                ? ", "
                            : at == &c.faint ? ""
                                             : "}, {",
                            static_cast<double>((*at)[k]));
        }
        std::printf("}},\n");
    }
    std::printf("}};\n// clang-format on\n\n} // namespace\n\n"
                "const CurveModel& fitted_model() {\n    static const CurveModel model{%.3ff, curves};\n"
                "    return model;\n}\n\n} // namespace downball::impacts\n",
                static_cast<double>(model.bias));
}

} // namespace

int main(int argc, char** argv) {
    const int clips = argc > 1 ? std::atoi(argv[1]) : 60;
    const unsigned long seed = argc > 2 ? std::strtoul(argv[2], nullptr, 10) : 100000;
    std::vector<Example> examples;
    std::size_t truths = 0, met = 0;
    for (int i = 0; i < clips; ++i) {
        for (const test::Split split : test::all_splits) {
            const test::MixedClip clip = test::mixed_clip(split, seed + static_cast<unsigned long>(i));
            const std::vector<Candidate> found = candidates_of(clip);
            truths += clip.contacts.size();
            met += label(clip, found, examples);
        }
    }
    const auto contacts = static_cast<std::size_t>(
        std::count_if(examples.begin(), examples.end(), [](const Example& e) { return e.contact; }));
    std::fprintf(stderr, "%zu candidates, %zu contacts of %zu met by one\n", examples.size(), met, truths);
    Fit fit(ranges(examples));
    fit.run(examples);
    print(fit.model(), clips, seed, contacts, examples.size() - contacts);
}
