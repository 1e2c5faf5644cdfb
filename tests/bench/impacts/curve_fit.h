// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "impacts/curve_model.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>
#include <vector>

namespace downball::bench {

using namespace downball::impacts;

struct Example {
    FeatureVector features;
    float clear; // clearness() of its sound
    bool positive;
};

// Penalised logistic regression by Newton's method: a ridge on every value and a heavier one on the bend
// (second difference) of each curve.
class CurveFit {
  public:
    explicit CurveFit(std::vector<Curve> curves)
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
    static constexpr double ridge_ = 0.5, bend_ = 3.0;

    void step(const std::vector<Example>& examples) {
        const std::size_t n = weights_.size();
        std::vector<double> gradient(n, 0), hessian(n * n, 0);
        std::vector<std::pair<std::size_t, double>> row;
        for (const Example& e : examples) {
            row.assign(1, {0, 1.0});
            const auto clear = static_cast<double>(e.clear);
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
                gradient[i] += (p - (e.positive ? 1 : 0)) * x;
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

} // namespace downball::bench
