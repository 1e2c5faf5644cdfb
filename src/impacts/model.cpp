// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "impacts/curve_model.h"

// Fitted by tests/bench/impacts_fit.cpp (penalised logistic regression, Newton's method) on generated
// clips alone: 40 clips of 20 s a split, seeds from 100000 on, balls of the family `modes`; 1895 contacts
// against 32345 other candidates. No recording had a part in it. To fit again:
//   impacts_fit 40 100000 > src/impacts/model.cpp
namespace downball::impacts {
namespace {

// Feature, its lowest and highest knot, and what it adds to the log-odds at the knots:
// faint sounds, clear sounds.
// clang-format off
constexpr std::array<Curve, feature_count> curves{{
    {Feature::rise_rumble,    0.0f,    3.0f, {-0.19f,  0.10f,  0.07f,  0.07f,  0.01f}, { 0.13f,  0.12f,  0.01f, -0.11f, -0.22f}},
    {Feature::rise_115,       0.0f,    4.3f, { 0.01f,  0.31f,  0.31f, -0.08f, -0.50f}, { 0.52f,  0.09f, -0.22f, -0.26f, -0.19f}},
    {Feature::rise_210,       0.0f,    4.6f, {-2.33f, -0.55f,  0.88f,  1.12f,  0.94f}, {-2.21f, -0.80f,  0.33f,  1.04f,  1.58f}},
    {Feature::rise_420,       0.0f,    3.9f, {-0.45f,  0.02f,  0.34f,  0.18f, -0.03f}, { 0.39f,  0.38f,  0.00f, -0.37f, -0.46f}},
    {Feature::rise_850,       0.0f,    4.5f, {-0.71f, -0.08f,  0.28f,  0.30f,  0.27f}, { 0.07f,  0.20f,  0.13f, -0.19f, -0.26f}},
    {Feature::rise_1700,      0.0f,    5.5f, { 0.53f,  0.44f,  0.09f, -0.33f, -0.68f}, { 0.51f,  0.01f, -0.31f, -0.34f,  0.08f}},
    {Feature::rise_3400,      0.0f,    6.0f, {-3.15f, -1.06f,  0.55f,  1.55f,  2.17f}, {-2.00f, -1.40f, -0.19f,  1.15f,  2.38f}},
    {Feature::rise_7500,      0.0f,    5.7f, { 1.69f,  0.89f, -0.07f, -0.88f, -1.57f}, { 2.54f,  1.08f, -0.18f, -1.21f, -2.29f}},
    {Feature::attack,        -0.7f,    2.5f, { 0.08f,  0.13f,  0.31f,  0.03f, -0.50f}, {-0.08f,  0.35f,  0.55f, -0.07f, -0.81f}},
    {Feature::slap_20,       -9.2f,   -0.0f, { 0.83f,  0.89f,  0.69f, -0.28f, -2.06f}, { 1.48f,  1.63f,  1.29f, -0.31f, -4.16f}},
    {Feature::slap_60,       -9.2f,    2.6f, { 0.02f,  0.08f, -0.08f, -0.02f,  0.06f}, { 0.37f,  0.30f,  0.02f, -0.26f, -0.50f}},
    {Feature::slap_200,      -9.2f,    3.7f, { 0.23f,  0.44f,  0.29f, -0.18f, -0.72f}, { 0.88f,  0.81f,  0.23f, -0.63f, -1.35f}},
    {Feature::body_40,       -9.2f,    1.4f, { 0.25f,  0.30f,  0.17f, -0.09f, -0.58f}, {-0.05f,  0.11f,  0.17f, -0.01f, -0.28f}},
    {Feature::body_90,       -9.2f,    2.5f, { 0.49f,  0.13f, -0.15f, -0.27f, -0.15f}, { 0.02f,  0.24f,  0.23f, -0.10f, -0.45f}},
    {Feature::body_200,      -9.2f,    3.2f, { 0.19f,  0.27f,  0.13f, -0.14f, -0.38f}, { 0.62f,  0.49f,  0.09f, -0.42f, -0.84f}},
    {Feature::balance,      -13.8f,    4.9f, {-0.09f, -0.11f,  0.10f,  0.74f, -0.58f}, {-1.49f, -1.25f, -0.55f,  1.21f,  2.02f}},
    {Feature::rumble,       -13.8f,    2.2f, { 0.42f,  0.26f,  0.12f, -0.07f, -0.68f}, { 0.22f,  0.54f,  0.60f, -0.09f, -1.34f}},
    {Feature::low_colour,   -13.8f,    3.2f, { 0.08f,  0.27f,  0.36f,  0.18f, -0.83f}, {-0.09f,  0.06f,  0.18f,  0.20f, -0.41f}},
    {Feature::slap_colour,   -2.1f,   13.8f, { 1.12f,  0.15f, -0.37f, -0.45f, -0.38f}, {-0.62f, -0.64f, -0.18f,  0.38f,  1.00f}},
    {Feature::tone,           1.8f,    8.0f, { 0.12f,  0.19f,  0.03f, -0.11f, -0.18f}, {-0.65f, -0.91f, -0.27f,  0.48f,  1.29f}},
    {Feature::before,        -1.1f,    1.1f, { 0.47f,  0.34f,  0.04f, -0.30f, -0.49f}, {-0.74f, -0.31f,  0.15f,  0.45f,  0.39f}},
    {Feature::density,        1.6f,   36.0f, { 0.85f,  0.52f,  0.05f, -0.44f, -0.92f}, { 1.20f,  0.18f, -0.33f, -0.51f, -0.60f}},
    {Feature::comb,           0.0f,    0.3f, { 0.78f,  1.10f,  0.48f, -0.58f, -1.72f}, { 2.47f,  1.29f, -0.29f, -1.34f, -2.19f}},
    {Feature::echo,           0.0f,    0.4f, { 0.89f,  0.50f,  0.07f, -0.42f, -0.97f}, { 1.57f,  0.90f,  0.13f, -0.78f, -1.88f}},
    {Feature::after,          0.0f,    3.1f, {-0.55f,  0.03f,  0.24f,  0.21f,  0.12f}, { 0.68f,  0.61f,  0.20f, -0.46f, -1.09f}},
    {Feature::repeat,         0.0f,    4.0f, { 0.32f,  0.24f,  0.16f, -0.11f, -0.54f}, { 0.39f,  0.14f, -0.03f, -0.17f, -0.39f}},
    {Feature::rank,          -6.0f,    0.3f, {-2.08f, -0.94f,  0.36f,  1.37f,  1.34f}, {-1.40f, -0.80f, -0.00f,  0.91f,  1.23f}},
}};
// clang-format on

} // namespace

const CurveModel& fitted_model() {
    static const CurveModel model{-6.781f, curves};
    return model;
}

} // namespace downball::impacts
