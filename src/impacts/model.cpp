// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "impacts/curve_model.h"

// Fitted by tests/bench/impacts/fit.cpp (penalised logistic regression, Newton's method) on clips of 8
// to 20 s, seeds from 100000 on: 120 a split with balls made by rule (families `modes` and `thump`), every
// other two over beds of the bank of recorded sounds, 30 a split with its balls, of its `fit` half
// alone; 4722 contacts against 103469 other candidates.
namespace downball::impacts {
namespace {

// Feature, its lowest and highest knot, and what it adds to the log-odds at the knots: for faint
// sounds, for clear sounds.
// clang-format off
constexpr float first_bias = -8.221f;
constexpr std::array<Curve, 35> first_curves{{
    {Feature::rise_rumble,    0.0f,    2.9f, { 0.14f,  0.23f,  0.16f,  0.01f, -0.08f}, {-0.19f,  0.14f,  0.11f,  0.03f, -0.56f}},
    {Feature::rise_115,       0.0f,    3.8f, {-0.12f, -0.22f,  0.17f,  0.45f,  0.18f}, {-0.68f, -0.41f, -0.14f,  0.15f,  0.61f}},
    {Feature::rise_210,       0.0f,    4.1f, {-1.75f, -1.28f,  0.07f,  1.23f,  2.19f}, { 0.74f,  0.12f, -0.21f, -0.51f, -0.60f}},
    {Feature::rise_420,       0.0f,    3.9f, {-0.78f, -0.11f,  0.58f,  0.57f,  0.21f}, {-0.76f, -0.38f,  0.07f,  0.29f,  0.32f}},
    {Feature::rise_850,       0.0f,    4.4f, {-0.93f, -1.05f, -0.33f,  0.61f,  2.16f}, { 0.29f, -0.13f, -0.44f, -0.29f,  0.11f}},
    {Feature::rise_1700,      0.0f,    4.9f, {-1.72f, -0.78f,  0.11f,  1.00f,  1.86f}, {-1.02f, -0.66f, -0.15f,  0.40f,  0.98f}},
    {Feature::rise_3400,      0.0f,    5.2f, {-1.57f, -0.21f,  0.55f,  0.99f,  0.70f}, { 0.13f, -0.61f, -0.31f,  0.30f,  0.03f}},
    {Feature::rise_7500,      0.0f,    5.2f, { 0.56f, -0.06f, -0.31f, -0.05f,  0.32f}, { 1.05f,  0.11f, -0.60f, -0.59f, -0.43f}},
    {Feature::attack,        -0.7f,    2.5f, { 0.09f,  0.21f,  0.46f,  0.13f, -0.43f}, {-1.08f,  0.12f,  0.68f,  0.10f, -0.28f}},
    {Feature::slap_20,       -9.2f,    0.1f, { 0.76f,  0.50f,  0.50f,  0.13f, -1.42f}, { 1.24f,  1.37f,  1.58f,  0.52f, -5.17f}},
    {Feature::slap_60,       -9.2f,    2.2f, { 0.34f,  0.23f,  0.27f, -0.41f,  0.03f}, { 0.49f,  0.34f,  0.25f, -0.58f, -0.96f}},
    {Feature::slap_200,      -9.2f,    3.2f, { 0.30f,  0.47f,  0.22f, -0.13f, -0.40f}, { 0.33f,  0.17f, -0.45f, -0.41f, -0.10f}},
    {Feature::body_40,       -9.2f,    1.7f, { 0.29f,  0.25f,  0.22f, -0.18f, -0.10f}, {-0.40f, -0.10f,  0.13f, -0.16f,  0.07f}},
    {Feature::body_90,       -9.2f,    3.0f, { 0.34f,  0.31f,  0.02f, -0.29f,  0.09f}, { 0.23f,  0.37f,  0.17f, -0.52f, -0.71f}},
    {Feature::body_200,      -9.2f,    3.9f, { 0.28f,  0.18f, -0.11f, -0.09f,  0.21f}, { 0.09f,  0.29f, -0.09f, -0.34f, -0.42f}},
    {Feature::balance,      -13.8f,    4.5f, { 0.42f, -0.34f, -0.39f,  0.41f,  0.36f}, {-0.31f, -0.31f, -0.10f,  0.22f,  0.03f}},
    {Feature::rumble,       -13.8f,    5.6f, { 0.11f, -0.19f,  0.09f,  0.11f,  0.33f}, { 0.74f,  0.75f,  0.72f, -0.80f, -1.87f}},
    {Feature::low_colour,   -13.8f,   13.8f, { 0.54f,  0.03f, -0.07f,  0.14f, -0.18f}, {-0.19f, -0.46f, -0.40f, -0.00f,  0.60f}},
    {Feature::slap_colour,   -3.6f,   13.8f, { 1.11f,  0.15f, -0.44f, -0.33f, -0.03f}, { 0.42f, -0.08f, -0.31f, -0.26f, -0.24f}},
    {Feature::share_115,     -9.2f,   -0.3f, {-0.21f, -0.57f, -0.18f,  0.42f,  1.00f}, {-0.10f, -0.04f,  0.47f,  0.21f, -1.01f}},
    {Feature::share_210,     -9.2f,   -0.5f, { 0.18f, -1.01f, -0.88f,  0.57f,  1.60f}, {-1.53f, -1.59f, -0.88f,  1.02f,  2.50f}},
    {Feature::share_420,     -9.2f,   -0.6f, { 0.34f, -0.19f, -0.31f, -0.00f,  0.63f}, {-0.17f, -0.57f, -0.47f,  0.22f,  0.54f}},
    {Feature::share_850,     -9.2f,   -0.4f, {-0.03f, -0.62f, -0.76f,  0.18f,  1.70f}, {-0.73f, -0.33f,  0.08f,  0.28f,  0.24f}},
    {Feature::share_1700,    -9.2f,   -0.5f, {-0.45f, -0.53f, -0.11f,  0.44f,  1.11f}, {-0.51f, -0.11f, -0.02f, -0.26f,  0.44f}},
    {Feature::share_3400,    -9.2f,   -0.2f, { 0.37f, -0.16f, -0.07f,  0.16f,  0.17f}, {-1.84f, -1.72f, -1.37f,  0.94f,  3.53f}},
    {Feature::share_7500,    -9.2f,   -0.8f, {-0.17f, -0.14f, -0.24f,  0.22f,  0.80f}, { 1.53f,  2.79f,  1.01f, -1.80f, -4.00f}},
    {Feature::tone,           1.9f,    8.5f, { 0.01f, -0.08f,  0.41f,  0.55f, -0.43f}, {-0.78f, -1.83f, -1.05f,  0.68f,  2.50f}},
    {Feature::ring,           0.9f,    6.0f, { 0.43f,  0.79f,  0.59f, -0.08f, -1.27f}, {-1.30f, -0.61f,  0.08f,  0.40f,  0.97f}},
    {Feature::before,        -1.1f,    1.1f, { 0.70f,  0.53f,  0.09f, -0.19f, -0.67f}, {-0.30f, -0.30f,  0.10f,  0.12f, -0.09f}},
    {Feature::density,        2.0f,   37.8f, { 1.26f,  0.90f, -0.07f, -0.62f, -1.00f}, { 2.19f,  0.03f, -0.61f, -0.91f, -1.17f}},
    {Feature::comb,           0.0f,    0.3f, {-0.65f,  0.83f,  0.30f,  0.08f, -0.10f}, { 0.92f,  0.44f, -0.37f, -0.51f, -0.94f}},
    {Feature::echo,           0.0f,    0.4f, { 1.07f,  0.25f, -0.09f, -0.27f, -0.50f}, { 2.43f,  1.90f,  0.78f, -1.34f, -4.23f}},
    {Feature::after,          0.0f,    3.2f, {-1.01f,  0.23f,  0.46f,  0.55f,  0.23f}, { 1.87f,  1.18f, -0.10f, -1.21f, -2.20f}},
    {Feature::repeat,         0.0f,    4.0f, { 0.48f,  0.45f,  0.15f, -0.18f, -0.45f}, {-0.41f, -0.03f,  0.03f,  0.04f, -0.10f}},
    {Feature::rank,          -6.0f,    0.2f, {-2.86f, -1.09f,  0.80f,  1.89f,  1.72f}, {-3.51f, -1.45f,  0.69f,  2.08f,  1.73f}},
}};

constexpr float second_bias = -7.064f;
constexpr std::array<Curve, 40> second_curves{{
    {Feature::rise_rumble,    0.0f,    2.9f, { 0.02f, -0.00f, -0.05f, -0.08f,  0.04f}, {-0.11f,  0.03f,  0.07f,  0.16f, -0.07f}},
    {Feature::rise_115,       0.0f,    3.8f, { 0.28f,  0.01f, -0.08f, -0.04f, -0.25f}, {-0.28f, -0.07f,  0.08f,  0.10f,  0.25f}},
    {Feature::rise_210,       0.0f,    4.1f, {-0.12f, -0.09f,  0.03f,  0.04f,  0.07f}, { 0.64f,  0.33f,  0.04f, -0.37f, -0.56f}},
    {Feature::rise_420,       0.0f,    3.9f, { 0.06f,  0.13f,  0.01f, -0.04f, -0.23f}, {-0.40f, -0.16f,  0.06f,  0.27f,  0.31f}},
    {Feature::rise_850,       0.0f,    4.4f, { 0.74f,  0.03f, -0.29f, -0.47f, -0.09f}, { 0.27f,  0.16f, -0.05f, -0.17f, -0.14f}},
    {Feature::rise_1700,      0.0f,    4.9f, {-0.14f, -0.27f, -0.23f,  0.07f,  0.50f}, {-0.32f,  0.02f,  0.13f,  0.09f,  0.16f}},
    {Feature::rise_3400,      0.0f,    5.2f, {-0.28f,  0.05f,  0.09f,  0.19f, -0.14f}, { 0.46f, -0.08f, -0.09f,  0.01f, -0.22f}},
    {Feature::rise_7500,      0.0f,    5.2f, { 0.44f,  0.08f, -0.09f, -0.20f, -0.31f}, { 0.00f, -0.13f, -0.13f,  0.11f,  0.23f}},
    {Feature::attack,        -0.7f,    2.5f, {-0.09f,  0.01f,  0.10f,  0.05f, -0.15f}, {-0.48f, -0.00f,  0.17f,  0.12f,  0.28f}},
    {Feature::slap_20,       -9.2f,    0.1f, {-0.02f, -0.05f,  0.01f,  0.03f, -0.04f}, { 0.18f,  0.19f,  0.28f,  0.43f, -1.00f}},
    {Feature::slap_60,       -9.2f,    2.2f, { 0.01f, -0.03f,  0.03f, -0.22f,  0.13f}, {-0.11f, -0.18f, -0.10f,  0.07f,  0.39f}},
    {Feature::slap_200,      -9.2f,    3.2f, {-0.03f,  0.09f,  0.09f, -0.03f, -0.19f}, { 0.01f, -0.00f, -0.17f, -0.02f,  0.27f}},
    {Feature::body_40,       -9.2f,    1.7f, {-0.03f, -0.06f,  0.03f, -0.06f,  0.04f}, {-0.01f, -0.04f,  0.04f, -0.03f,  0.12f}},
    {Feature::body_90,       -9.2f,    3.0f, {-0.04f, -0.04f, -0.02f, -0.13f,  0.15f}, { 0.08f,  0.12f,  0.07f, -0.15f, -0.04f}},
    {Feature::body_200,      -9.2f,    3.9f, {-0.08f, -0.04f, -0.12f, -0.06f,  0.23f}, {-0.09f,  0.03f, -0.01f,  0.05f,  0.10f}},
    {Feature::balance,      -13.8f,    4.5f, {-0.19f, -0.44f, -0.25f,  0.40f,  0.40f}, {-0.17f, -0.12f,  0.06f,  0.18f,  0.13f}},
    {Feature::rumble,       -13.8f,    5.6f, {-0.06f, -0.34f, -0.06f,  0.08f,  0.30f}, { 0.34f,  0.19f,  0.35f, -0.23f, -0.57f}},
    {Feature::low_colour,   -13.8f,   13.8f, { 0.15f, -0.05f, -0.08f,  0.09f, -0.19f}, {-0.37f, -0.33f, -0.12f,  0.23f,  0.67f}},
    {Feature::slap_colour,   -3.6f,   13.8f, { 0.44f,  0.04f, -0.19f, -0.18f, -0.19f}, { 0.04f,  0.03f, -0.05f,  0.02f,  0.04f}},
    {Feature::share_115,     -9.2f,   -0.3f, {-0.12f, -0.22f, -0.09f,  0.01f,  0.34f}, { 0.28f,  0.11f,  0.20f, -0.03f, -0.48f}},
    {Feature::share_210,     -9.2f,   -0.5f, { 0.02f, -0.30f, -0.12f,  0.23f,  0.10f}, {-0.44f, -0.42f, -0.20f,  0.34f,  0.80f}},
    {Feature::share_420,     -9.2f,   -0.6f, {-0.02f, -0.09f,  0.00f, -0.02f,  0.05f}, { 0.09f, -0.01f,  0.13f,  0.13f, -0.27f}},
    {Feature::share_850,     -9.2f,   -0.4f, {-0.29f, -0.42f, -0.37f,  0.11f,  0.90f}, {-0.65f, -0.33f,  0.04f,  0.40f,  0.62f}},
    {Feature::share_1700,    -9.2f,   -0.5f, {-0.30f, -0.25f,  0.03f,  0.20f,  0.23f}, {-0.13f,  0.26f,  0.33f, -0.11f, -0.27f}},
    {Feature::share_3400,    -9.2f,   -0.2f, { 0.18f, -0.02f,  0.09f, -0.08f, -0.24f}, {-0.47f, -0.53f, -0.59f,  0.41f,  1.25f}},
    {Feature::share_7500,    -9.2f,   -0.8f, {-0.30f, -0.35f, -0.23f,  0.14f,  0.66f}, { 0.14f,  0.88f,  0.35f, -0.48f, -0.81f}},
    {Feature::tone,           1.9f,    8.5f, { 0.04f,  0.08f,  0.18f,  0.15f, -0.53f}, {-0.01f, -0.49f, -0.34f,  0.13f,  0.79f}},
    {Feature::ring,           0.9f,    6.0f, { 0.12f,  0.13f,  0.05f, -0.10f, -0.29f}, {-0.29f, -0.10f,  0.08f,  0.07f,  0.31f}},
    {Feature::before,        -1.1f,    1.1f, { 0.28f,  0.33f,  0.02f, -0.16f, -0.55f}, { 0.00f, -0.05f,  0.07f,  0.03f,  0.02f}},
    {Feature::density,        2.0f,   37.8f, { 0.22f, -0.05f, -0.17f, -0.07f, -0.01f}, {-0.12f, -0.40f,  0.04f,  0.26f,  0.29f}},
    {Feature::comb,           0.0f,    0.3f, {-0.00f,  0.26f, -0.04f, -0.06f, -0.24f}, { 0.81f,  0.25f, -0.26f, -0.27f, -0.45f}},
    {Feature::echo,           0.0f,    0.4f, { 0.63f,  0.05f, -0.16f, -0.23f, -0.36f}, { 0.31f,  0.54f,  0.49f, -0.12f, -1.15f}},
    {Feature::after,          0.0f,    3.2f, {-0.54f,  0.01f,  0.04f,  0.21f,  0.20f}, { 0.84f,  0.59f,  0.02f, -0.47f, -0.91f}},
    {Feature::repeat,         0.0f,    4.0f, { 0.13f,  0.10f, -0.01f, -0.12f, -0.18f}, {-0.04f,  0.07f,  0.04f,  0.02f, -0.00f}},
    {Feature::rank,          -6.0f,    0.2f, { 0.85f,  0.66f,  0.22f, -0.66f, -1.14f}, {-0.24f, -0.05f,  0.14f,  0.06f,  0.17f}},
    {Feature::first,        -13.3f,    2.8f, {-4.35f, -3.00f, -0.87f,  2.41f,  5.73f}, {-2.57f, -2.23f, -1.47f,  0.80f,  5.56f}},
    {Feature::kin_most,       0.0f,    0.6f, {-1.81f, -0.84f,  0.23f,  0.70f,  1.64f}, {-1.77f, -1.05f,  0.25f,  1.46f,  1.19f}},
    {Feature::kin_sum,        0.1f,    1.7f, { 0.06f,  0.02f, -0.11f, -0.21f,  0.16f}, { 2.23f,  0.64f, -0.27f, -0.78f, -1.74f}},
    {Feature::kin_sure,       0.4f,    3.0f, {-1.28f, -0.04f,  0.25f,  0.71f,  0.29f}, {-1.55f, -1.26f, -0.05f,  1.18f,  1.74f}},
    {Feature::kin_level,     -5.6f,    0.7f, {-4.38f, -2.69f, -0.32f,  2.79f,  4.52f}, {-2.49f, -1.38f,  0.06f,  1.87f,  2.01f}},
}};

constexpr float rally_bias = -3.014f;
constexpr std::array<Curve, 2> rally_curves{{
    {Feature::second,       -13.4f,    4.6f, {-6.38f, -4.17f, -1.03f,  3.57f,  7.17f}, {-4.98f, -3.59f, -1.38f,  2.92f,  7.88f}},
    {Feature::rally,          0.0f,    2.3f, {-1.32f, -0.64f, -0.45f,  0.29f,  1.28f}, {-0.87f, -0.48f, -0.07f,  0.59f,  1.68f}},
}};

constexpr float hard_bias = -0.355f;
constexpr std::array<Curve, 8> hard_curves{{
    {Feature::kin_level,     -1.6f,    1.6f, {-1.80f, -0.58f,  0.41f,  0.92f,  0.97f}, {-1.54f, -0.78f,  0.20f,  0.90f,  1.28f}},
    {Feature::rank,          -2.6f,    2.5f, { 0.35f,  0.01f, -0.09f, -0.13f, -0.20f}, {-2.04f, -1.13f,  0.05f,  1.51f,  1.68f}},
    {Feature::attack,        -0.3f,    2.2f, {-0.14f, -0.03f,  0.06f,  0.16f, -0.11f}, {-0.21f, -0.00f,  0.05f,  0.04f,  0.19f}},
    {Feature::slap_20,       -9.2f,   -0.8f, { 0.14f,  0.19f,  0.15f, -0.19f, -0.36f}, { 0.02f, -0.27f, -0.04f,  0.19f,  0.16f}},
    {Feature::balance,       -3.4f,    2.9f, { 0.30f,  0.43f,  0.30f, -0.29f, -0.79f}, { 0.40f,  0.90f, -0.00f, -0.34f, -0.89f}},
    {Feature::slap_colour,   -1.3f,    5.5f, { 0.23f,  0.46f,  0.07f, -0.57f, -0.25f}, { 0.61f,  0.48f, -0.09f, -0.31f, -0.62f}},
    {Feature::rise_210,       0.0f,    9.0f, {-0.25f, -0.05f,  0.01f,  0.09f,  0.14f}, { 0.51f,  0.04f, -0.23f, -0.30f,  0.05f}},
    {Feature::rise_3400,      0.1f,    9.3f, {-0.42f,  0.00f,  0.11f,  0.12f,  0.12f}, { 0.73f, -0.14f, -0.27f, -0.31f,  0.06f}},
}};

// clang-format on

} // namespace

const Models& fitted_models() {
    static const Models models{{first_bias, first_curves},
                               {second_bias, second_curves},
                               {rally_bias, rally_curves},
                               {hard_bias, hard_curves}};
    return models;
}

} // namespace downball::impacts
