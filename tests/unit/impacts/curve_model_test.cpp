// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "impacts/curve_model.h"
#include "support/catch.h"

#include <set>

using namespace downball::impacts;

TEST_CASE("a curve is a line through its knots and flat outside") {
    const Curve curve{Feature::attack, 0, 4, {}, {1, 2, 4, 8, 16}};
    const CurveModel model{0.5f, std::span(&curve, 1)};
    FeatureVector f;
    for (const Feature rise :
         {Feature::rise_210, Feature::rise_420, Feature::rise_850, Feature::rise_1700, Feature::rise_3400})
        f[rise] = 10; // clear
    const auto at = [&](float value) {
        f[Feature::attack] = value;
        return log_odds(model, f);
    };
    CHECK(at(-3) == Approx(1.5));
    CHECK(at(0) == Approx(1.5));
    CHECK(at(2) == Approx(4.5));
    CHECK(at(2.5) == Approx(6.5));
    CHECK(at(9) == Approx(16.5));
}

TEST_CASE("faint sounds are judged by the curves for faint ones") {
    const Curve curve{Feature::tone, 0, 1, {1, 1, 1, 1, 1}, {3, 3, 3, 3, 3}};
    const CurveModel model{0, std::span(&curve, 1)};
    FeatureVector f;
    CHECK(log_odds(model, f) == Approx(1));
    for (float& v : f.values)
        v = 2; // half way between faint and clear
    CHECK(log_odds(model, f) == Approx(2));
}

TEST_CASE("log-odds and probability") {
    CHECK(probability(0) == 0.5);
    CHECK(probability(std::log(3.0)) == Approx(0.75));
}

TEST_CASE("the fitted tables have a curve for each feature they may use, with a name of its own") {
    const auto features_of = [](const CurveModel& model) {
        std::set<Feature> seen;
        for (const Curve& c : model.curves) {
            CHECK(seen.insert(c.feature).second);
            CHECK(c.low < c.high);
        }
        return seen;
    };
    const Models& models = fitted_models();
    CHECK(features_of(models.first).size() == first_count);
    CHECK(features_of(models.second).size() == second_count);
    CHECK(features_of(models.rally) == std::set{Feature::second, Feature::rally});
    CHECK(!features_of(models.hard).empty());
    std::set<std::string_view> names;
    for (std::size_t f = 0; f < feature_count; ++f)
        names.insert(name_of(static_cast<Feature>(f)));
    CHECK(names.size() == feature_count);
}
