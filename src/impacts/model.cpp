// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "impacts/curve_model.h"

// Fitted by tests/bench/impacts_fit.cpp (penalised logistic regression, Newton's method) on generated
// clips alone: 60 clips of 20 s a split, seeds from 100000 on, balls of the family `modes`; 2341 contacts
// against 49138 other candidates. No recording had a part in it. To fit again:
//   impacts_fit 60 100000 > src/impacts/model.cpp
namespace downball::impacts {
namespace {

// Feature, its lowest and highest knot, and what it adds to the log-odds at the knots: for faint
// sounds, for clear sounds.
// clang-format off
constexpr std::array<Curve, 27> first_curves{{
    {Feature::rise_rumble,    0.0f,    2.9f, { 0.06f,  0.17f,  0.24f, -0.03f, -0.17f}, {-0.07f,  0.22f,  0.08f, -0.18f, -0.31f}},
    {Feature::rise_115,       0.0f,    4.1f, { 0.23f,  0.22f,  0.19f, -0.02f, -0.35f}, { 0.16f,  0.14f, -0.07f, -0.27f, -0.23f}},
    {Feature::rise_210,       0.0f,    4.3f, {-2.86f, -0.78f,  0.94f,  1.42f,  1.55f}, {-2.72f, -1.18f,  0.23f,  1.26f,  2.15f}},
    {Feature::rise_420,       0.0f,    3.8f, {-1.08f, -0.32f,  0.46f,  0.64f,  0.56f}, { 0.71f,  0.32f, -0.05f, -0.52f, -0.72f}},
    {Feature::rise_850,       0.0f,    4.4f, {-0.70f, -0.15f,  0.33f,  0.39f,  0.40f}, {-0.27f,  0.04f,  0.18f, -0.09f, -0.13f}},
    {Feature::rise_1700,      0.0f,    5.2f, {-0.22f,  0.09f,  0.09f,  0.15f,  0.16f}, { 0.15f, -0.18f, -0.25f, -0.15f,  0.17f}},
    {Feature::rise_3400,      0.0f,    5.8f, {-2.62f, -0.85f,  0.36f,  1.36f,  2.01f}, {-1.75f, -1.49f, -0.51f,  0.96f,  2.52f}},
    {Feature::rise_7500,      0.0f,    5.5f, { 1.47f,  0.65f, -0.19f, -0.61f, -1.05f}, { 2.36f,  1.09f, -0.09f, -1.20f, -2.43f}},
    {Feature::attack,        -0.7f,    2.4f, { 0.10f,  0.39f,  0.43f,  0.03f, -0.68f}, {-0.19f,  0.28f,  0.53f, -0.05f, -0.84f}},
    {Feature::slap_20,       -9.2f,   -0.0f, { 0.89f,  1.06f,  1.01f, -0.15f, -2.54f}, { 1.47f,  1.50f,  1.35f, -0.18f, -4.41f}},
    {Feature::slap_60,       -9.2f,    2.4f, { 0.16f,  0.17f,  0.10f, -0.07f, -0.09f}, { 0.13f, -0.15f, -0.23f, -0.12f,  0.10f}},
    {Feature::slap_200,      -9.2f,    3.4f, { 0.04f,  0.02f,  0.17f,  0.12f, -0.08f}, { 0.57f,  0.55f,  0.09f, -0.50f, -0.98f}},
    {Feature::body_40,       -9.2f,    1.4f, { 0.47f,  0.26f,  0.07f, -0.17f, -0.36f}, { 0.10f,  0.25f,  0.13f, -0.22f, -0.53f}},
    {Feature::body_90,       -9.2f,    2.4f, { 0.36f,  0.17f,  0.00f, -0.11f, -0.16f}, { 0.10f,  0.14f,  0.07f, -0.17f, -0.40f}},
    {Feature::body_200,      -9.2f,    3.1f, { 0.51f,  0.44f,  0.18f, -0.22f, -0.64f}, { 0.53f,  0.63f,  0.19f, -0.51f, -1.10f}},
    {Feature::balance,      -13.8f,    4.9f, { 0.12f,  0.03f,  0.19f,  0.75f, -0.81f}, {-1.98f, -1.31f, -0.32f,  1.47f,  1.86f}},
    {Feature::rumble,       -13.8f,    2.2f, { 0.28f,  0.31f,  0.28f,  0.05f, -0.65f}, { 0.56f,  0.78f,  0.71f, -0.19f, -2.13f}},
    {Feature::low_colour,   -13.8f,    3.0f, { 0.12f,  0.23f,  0.27f,  0.12f, -0.48f}, {-0.32f, -0.32f, -0.16f,  0.35f,  0.18f}},
    {Feature::slap_colour,   -2.1f,   13.8f, { 1.62f,  0.15f, -0.59f, -0.61f, -0.32f}, {-0.64f, -0.62f, -0.18f,  0.32f,  0.86f}},
    {Feature::tone,           1.8f,    8.0f, { 0.58f,  0.48f,  0.18f, -0.21f, -0.77f}, {-0.92f, -1.00f, -0.17f,  0.58f,  1.24f}},
    {Feature::before,        -1.0f,    1.1f, { 0.62f,  0.51f,  0.21f, -0.34f, -0.74f}, {-0.96f, -0.51f,  0.04f,  0.46f,  0.70f}},
    {Feature::density,        1.9f,   36.0f, { 1.02f,  0.61f,  0.02f, -0.53f, -0.85f}, { 1.36f,  0.14f, -0.40f, -0.64f, -0.73f}},
    {Feature::comb,           0.0f,    0.3f, { 0.73f,  1.05f,  0.37f, -0.53f, -1.36f}, { 2.71f,  1.56f, -0.28f, -1.61f, -2.65f}},
    {Feature::echo,           0.0f,    0.4f, { 1.11f,  0.62f,  0.11f, -0.48f, -1.09f}, { 2.01f,  1.25f,  0.26f, -1.09f, -2.70f}},
    {Feature::after,          0.0f,    3.0f, {-0.93f, -0.16f,  0.29f,  0.49f,  0.59f}, { 1.01f,  0.65f,  0.02f, -0.67f, -1.28f}},
    {Feature::repeat,         0.0f,    4.0f, { 0.51f,  0.45f,  0.10f, -0.27f, -0.53f}, { 0.45f,  0.31f, -0.00f, -0.34f, -0.68f}},
    {Feature::rank,          -6.0f,    0.3f, {-1.78f, -0.76f,  0.34f,  1.19f,  1.28f}, {-0.80f, -0.38f,  0.12f,  0.56f,  0.23f}},
}};

constexpr std::array<Curve, 5> kin_curves{{
    {Feature::first,        -12.5f,    2.9f, {-5.40f, -3.70f, -1.17f,  2.83f,  6.94f}, {-3.79f, -2.94f, -1.46f,  1.82f,  6.86f}},
    {Feature::kin_most,       0.0f,    0.7f, {-1.45f, -0.68f,  0.10f,  0.64f,  0.89f}, {-1.58f, -0.92f, -0.01f,  1.07f,  1.94f}},
    {Feature::kin_sum,        0.0f,    1.7f, { 1.33f,  0.58f, -0.06f, -0.71f, -1.63f}, { 1.30f,  0.67f, -0.09f, -0.41f, -0.98f}},
    {Feature::kin_sure,       0.3f,    2.6f, {-1.07f, -0.36f,  0.51f,  0.56f, -0.13f}, {-0.33f, -0.14f,  0.17f,  0.47f,  0.32f}},
    {Feature::kin_level,     -5.6f,    0.7f, {-1.96f, -1.23f, -0.21f,  1.30f,  1.61f}, {-1.03f, -0.56f,  0.07f,  0.96f,  1.06f}},
}};

// clang-format on

} // namespace

const CurveModel& first_model() {
    static const CurveModel model{-7.267f, first_curves};
    return model;
}

const CurveModel& kin_model() {
    static const CurveModel model{-4.882f, kin_curves};
    return model;
}

} // namespace downball::impacts
