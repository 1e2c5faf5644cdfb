// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "impacts/curve_model.h"

// Fitted by tests/bench/impacts_fit.cpp (penalised logistic regression, Newton's method) on generated
// clips alone: 70 clips of 20 s a split, seeds from 100000 on, balls of the family `modes`; 2871 contacts
// against 55693 other candidates. No recording had a part in it. To fit again:
//   impacts_fit 70 100000 > src/impacts/model.cpp
namespace downball::impacts {
namespace {

// Feature, its lowest and highest knot, and what it adds to the log-odds at the knots: for faint
// sounds, for clear sounds.
// clang-format off
constexpr std::array<Curve, 27> first_curves{{
    {Feature::rise_rumble,    0.0f,    2.8f, { 0.09f,  0.17f,  0.23f, -0.03f, -0.21f}, { 0.12f,  0.30f,  0.16f, -0.16f, -0.67f}},
    {Feature::rise_115,       0.0f,    4.1f, { 0.12f,  0.25f,  0.30f,  0.01f, -0.43f}, { 0.37f,  0.23f, -0.09f, -0.43f, -0.32f}},
    {Feature::rise_210,       0.0f,    4.4f, {-2.69f, -0.87f,  0.70f,  1.35f,  1.75f}, {-2.20f, -0.74f,  0.19f,  0.72f,  1.78f}},
    {Feature::rise_420,       0.0f,    3.8f, {-0.69f,  0.10f,  0.62f,  0.38f, -0.16f}, { 0.49f,  0.32f,  0.04f, -0.43f, -0.67f}},
    {Feature::rise_850,       0.0f,    4.2f, {-0.46f,  0.02f,  0.26f,  0.23f,  0.20f}, {-0.08f,  0.03f, -0.07f, -0.13f,  0.01f}},
    {Feature::rise_1700,      0.0f,    4.9f, {-0.21f,  0.36f,  0.25f,  0.01f, -0.15f}, { 0.11f, -0.45f, -0.57f, -0.11f,  0.78f}},
    {Feature::rise_3400,      0.0f,    5.5f, {-2.88f, -1.02f,  0.40f,  1.49f,  2.26f}, {-1.80f, -1.43f, -0.40f,  0.92f,  2.46f}},
    {Feature::rise_7500,      0.0f,    5.4f, { 1.62f,  0.60f, -0.06f, -0.59f, -1.32f}, { 3.22f,  1.25f, -0.21f, -1.63f, -2.87f}},
    {Feature::attack,        -0.7f,    2.4f, {-0.00f,  0.30f,  0.37f,  0.06f, -0.48f}, {-0.21f,  0.32f,  0.44f, -0.00f, -0.80f}},
    {Feature::slap_20,       -9.2f,   -0.0f, { 0.82f,  1.04f,  0.99f, -0.14f, -2.46f}, { 1.41f,  1.61f,  1.45f, -0.23f, -4.49f}},
    {Feature::slap_60,       -9.2f,    2.3f, { 0.22f,  0.25f,  0.16f, -0.14f, -0.24f}, { 0.68f,  0.52f, -0.08f, -0.56f, -0.82f}},
    {Feature::slap_200,      -9.2f,    3.2f, { 0.01f,  0.35f,  0.30f, -0.04f, -0.37f}, { 0.21f,  0.16f, -0.14f, -0.26f, -0.22f}},
    {Feature::body_40,       -9.2f,    1.3f, { 0.37f,  0.28f,  0.09f, -0.29f, -0.20f}, {-0.10f,  0.03f,  0.05f, -0.16f, -0.07f}},
    {Feature::body_90,       -9.2f,    2.3f, { 0.43f,  0.41f,  0.10f, -0.30f, -0.40f}, {-0.18f,  0.15f,  0.24f, -0.09f, -0.37f}},
    {Feature::body_200,      -9.2f,    3.0f, { 0.37f,  0.30f,  0.12f, -0.12f, -0.42f}, { 0.50f,  0.61f,  0.28f, -0.42f, -1.23f}},
    {Feature::balance,      -13.8f,    4.8f, { 0.41f,  0.04f,  0.05f,  0.70f, -0.95f}, {-2.95f, -2.21f, -0.86f,  2.00f,  3.77f}},
    {Feature::rumble,       -13.8f,    2.1f, { 0.23f,  0.28f,  0.24f,  0.02f, -0.52f}, { 0.40f,  0.81f,  0.84f, -0.15f, -2.15f}},
    {Feature::low_colour,   -13.8f,    2.9f, { 0.26f,  0.04f, -0.01f,  0.23f, -0.27f}, {-0.00f, -0.11f, -0.10f,  0.14f, -0.17f}},
    {Feature::slap_colour,   -2.1f,   13.8f, { 1.25f, -0.14f, -0.62f, -0.40f,  0.16f}, { 0.60f, -0.01f, -0.21f, -0.29f, -0.34f}},
    {Feature::tone,           1.8f,    7.8f, { 0.62f,  0.28f, -0.01f, -0.16f, -0.49f}, {-0.90f, -1.10f, -0.22f,  0.64f,  1.33f}},
    {Feature::before,        -1.0f,    1.0f, { 0.51f,  0.30f,  0.02f, -0.19f, -0.38f}, {-0.36f, -0.32f,  0.09f,  0.31f,  0.02f}},
    {Feature::density,        1.7f,   34.9f, { 1.03f,  0.76f,  0.06f, -0.64f, -0.97f}, { 1.07f, -0.21f, -0.46f, -0.40f, -0.25f}},
    {Feature::comb,           0.0f,    0.3f, { 0.40f,  0.72f,  0.26f, -0.17f, -0.95f}, { 0.87f,  0.54f,  0.02f, -0.49f, -1.18f}},
    {Feature::echo,           0.0f,    0.3f, { 1.03f,  0.36f,  0.04f, -0.33f, -0.85f}, { 1.62f,  1.06f,  0.27f, -0.86f, -2.33f}},
    {Feature::after,          0.0f,    2.8f, {-1.17f, -0.23f,  0.40f,  0.59f,  0.65f}, { 0.93f,  0.73f,  0.18f, -0.63f, -1.46f}},
    {Feature::repeat,         0.0f,    4.0f, { 0.22f,  0.21f,  0.21f, -0.02f, -0.36f}, { 0.72f,  0.37f, -0.00f, -0.47f, -0.87f}},
    {Feature::rank,          -6.0f,    0.3f, {-2.25f, -0.89f,  0.64f,  1.54f,  1.21f}, {-1.21f, -0.67f,  0.04f,  0.86f,  0.73f}},
}};

constexpr std::array<Curve, 5> kin_curves{{
    {Feature::first,        -12.3f,    3.1f, {-5.41f, -3.71f, -1.19f,  2.95f,  7.01f}, {-3.75f, -2.93f, -1.49f,  1.75f,  6.78f}},
    {Feature::kin_most,       0.0f,    0.7f, {-1.42f, -0.44f,  0.16f,  0.61f,  0.74f}, {-1.18f, -0.84f, -0.14f,  0.77f,  1.75f}},
    {Feature::kin_sum,        0.0f,    1.7f, { 1.06f,  0.32f, -0.15f, -0.54f, -1.04f}, { 1.13f,  0.35f, -0.12f, -0.28f, -0.72f}},
    {Feature::kin_sure,       0.4f,    2.6f, {-0.55f, -0.09f,  0.25f,  0.45f, -0.41f}, {-0.59f, -0.60f, -0.25f,  0.73f,  1.06f}},
    {Feature::kin_level,     -5.5f,    0.7f, {-2.18f, -1.33f, -0.15f,  1.50f,  1.80f}, {-1.12f, -0.68f, -0.05f,  0.94f,  1.27f}},
}};

// clang-format on

} // namespace

const CurveModel& first_model() {
    static const CurveModel model{-6.624f, first_curves};
    return model;
}

const CurveModel& kin_model() {
    static const CurveModel model{-4.705f, kin_curves};
    return model;
}

} // namespace downball::impacts
