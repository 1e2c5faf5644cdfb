// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "impacts/curve_model.h"

// Fitted by tests/bench/impacts/fit.cpp (penalised logistic regression, Newton's method) on clips of 8
// to 20 s, seeds from 100000 on: 360 a split with balls made by rule (families `modes` and `thump`), every
// other two over beds of the bank of recorded sounds, 50 a split with its balls, of its `fit` half
// alone; 13328 contacts against 273916 other candidates.
namespace downball::impacts {
namespace {

// Feature, its lowest and highest knot, and what it adds to the log-odds at the knots: for faint
// sounds, for clear sounds.
// clang-format off
constexpr float first_bias = -9.251f;
constexpr std::array<Curve, 35> first_curves{{
    {Feature::rise_rumble,    0.0f,    2.9f, { 0.16f,  0.29f,  0.31f,  0.17f, -0.33f}, {-0.24f, -0.00f,  0.04f, -0.06f, -0.32f}},
    {Feature::rise_115,       0.0f,    3.8f, {-0.39f, -0.45f,  0.02f,  0.61f,  0.80f}, { 0.45f, -0.06f, -0.19f, -0.52f, -0.27f}},
    {Feature::rise_210,       0.0f,    4.1f, {-0.80f, -0.60f,  0.50f,  0.75f,  0.74f}, {-0.20f, -0.50f, -0.32f, -0.00f,  0.43f}},
    {Feature::rise_420,       0.0f,    3.9f, {-0.80f, -0.31f,  0.80f,  0.55f,  0.35f}, { 0.21f, -0.18f, -0.32f, -0.29f, -0.01f}},
    {Feature::rise_850,       0.0f,    4.3f, {-0.81f, -0.61f,  0.28f,  0.56f,  1.18f}, { 0.99f, -0.15f, -0.62f, -0.48f, -0.33f}},
    {Feature::rise_1700,      0.0f,    4.8f, {-0.99f, -0.38f,  0.24f,  0.72f,  1.01f}, {-1.07f, -0.83f, -0.10f,  0.44f,  0.98f}},
    {Feature::rise_3400,      0.0f,    5.2f, {-1.46f, -0.22f,  0.31f,  0.86f,  1.11f}, { 0.35f, -0.69f, -0.34f,  0.00f,  0.09f}},
    {Feature::rise_7500,      0.0f,    5.4f, { 0.17f,  0.13f,  0.23f,  0.21f, -0.15f}, { 0.89f, -0.04f, -0.35f, -0.44f, -0.65f}},
    {Feature::attack,        -0.7f,    2.5f, { 0.09f,  0.22f,  0.33f,  0.15f, -0.20f}, {-1.27f,  0.29f,  0.86f,  0.05f, -0.53f}},
    {Feature::slap_20,       -9.2f,    0.1f, { 0.68f,  0.26f,  0.61f,  0.16f, -1.12f}, { 1.28f,  1.52f,  1.56f,  1.08f, -6.03f}},
    {Feature::slap_60,       -9.2f,    2.2f, { 0.27f,  0.48f, -0.06f, -0.39f,  0.28f}, { 0.07f, -0.07f, -0.11f, -0.78f,  0.29f}},
    {Feature::slap_200,      -9.2f,    3.1f, { 0.05f,  0.34f,  0.27f,  0.02f, -0.09f}, { 0.26f,  0.18f, -0.40f, -0.46f, -0.18f}},
    {Feature::body_40,       -9.2f,    1.8f, { 0.38f,  0.45f,  0.15f, -0.36f, -0.03f}, {-0.37f,  0.05f,  0.21f,  0.07f, -0.55f}},
    {Feature::body_90,       -9.2f,    3.0f, { 0.39f,  0.57f,  0.24f, -0.27f, -0.34f}, { 0.28f,  0.51f,  0.36f, -0.45f, -1.28f}},
    {Feature::body_200,      -9.2f,    3.7f, { 0.40f,  0.21f,  0.26f,  0.08f, -0.36f}, { 0.17f,  0.25f, -0.14f, -0.27f, -0.61f}},
    {Feature::balance,      -13.8f,    4.6f, { 1.01f, -0.35f, -0.57f,  0.53f, -0.04f}, {-0.22f, -1.43f, -1.39f,  0.53f,  1.92f}},
    {Feature::rumble,       -13.8f,    8.9f, { 0.27f,  0.08f,  0.17f, -0.14f,  0.20f}, { 1.76f,  2.24f,  1.66f, -1.97f, -4.29f}},
    {Feature::low_colour,   -13.8f,   13.8f, { 0.10f, -0.09f,  0.00f,  0.29f,  0.30f}, {-0.58f, -0.53f, -0.18f,  0.20f,  0.51f}},
    {Feature::slap_colour,   -3.6f,   13.8f, { 1.39f,  0.13f, -0.52f, -0.38f, -0.03f}, { 0.70f, -0.47f, -0.63f, -0.30f,  0.11f}},
    {Feature::share_115,     -9.2f,   -0.3f, {-0.03f, -0.67f, -0.03f,  0.34f,  0.99f}, { 0.25f, -0.28f,  0.20f, -0.02f, -0.74f}},
    {Feature::share_210,     -9.2f,   -0.5f, { 0.05f, -0.55f, -0.60f,  0.22f,  1.47f}, {-0.88f, -1.70f, -0.98f,  1.04f,  1.92f}},
    {Feature::share_420,     -9.2f,   -0.6f, { 0.22f, -0.37f, -0.47f,  0.24f,  0.97f}, {-1.09f, -1.04f, -0.41f,  0.75f,  1.20f}},
    {Feature::share_850,     -9.2f,   -0.5f, {-0.16f, -0.58f, -0.27f,  0.26f,  1.34f}, {-0.85f, -0.64f, -0.05f,  0.41f,  0.54f}},
    {Feature::share_1700,    -9.2f,   -0.5f, {-0.11f, -0.61f, -0.33f,  0.52f,  1.11f}, {-0.49f, -0.47f, -0.36f, -0.13f,  0.85f}},
    {Feature::share_3400,    -9.2f,   -0.3f, { 0.31f, -0.15f,  0.01f,  0.35f,  0.06f}, {-2.34f, -2.32f, -1.89f,  1.40f,  4.57f}},
    {Feature::share_7500,    -9.2f,   -0.7f, { 0.38f,  0.21f, -0.09f,  0.10f, -0.01f}, { 1.40f,  2.46f,  0.74f, -1.92f, -3.28f}},
    {Feature::tone,           1.9f,    8.4f, { 0.31f,  0.14f,  0.34f,  0.35f, -0.54f}, {-1.48f, -2.18f, -1.36f,  1.48f,  2.94f}},
    {Feature::ring,           0.9f,    6.0f, { 0.45f,  0.69f,  0.43f, -0.00f, -0.97f}, {-0.99f, -0.05f, -0.14f, -0.03f,  0.61f}},
    {Feature::before,        -1.1f,    1.1f, { 0.69f,  0.36f, -0.13f, -0.13f, -0.20f}, {-0.35f, -0.17f,  0.17f,  0.19f, -0.42f}},
    {Feature::density,        2.0f,   38.4f, { 1.04f,  0.75f, -0.05f, -0.54f, -0.61f}, { 2.11f,  0.35f, -0.58f, -1.12f, -1.34f}},
    {Feature::comb,           0.0f,    0.3f, {-0.54f,  1.12f,  0.50f,  0.01f, -0.49f}, { 1.21f,  0.35f, -0.92f, -0.45f, -0.79f}},
    {Feature::echo,           0.0f,    0.4f, { 1.24f,  0.30f,  0.11f, -0.12f, -0.95f}, { 1.57f,  1.04f,  0.55f, -0.82f, -2.93f}},
    {Feature::after,          0.0f,    3.1f, {-0.78f, -0.02f,  0.28f,  0.43f,  0.67f}, { 2.07f,  2.05f,  0.58f, -1.62f, -3.68f}},
    {Feature::repeat,         0.0f,    4.0f, { 0.24f,  0.20f,  0.08f,  0.10f, -0.02f}, { 0.40f,  0.42f,  0.13f, -0.39f, -1.15f}},
    {Feature::rank,          -6.0f,    0.2f, {-1.96f, -0.38f,  0.64f,  1.08f,  1.20f}, {-3.02f, -0.81f,  0.75f,  1.51f,  0.98f}},
}};

constexpr float second_bias = -6.074f;
constexpr std::array<Curve, 40> second_curves{{
    {Feature::rise_rumble,    0.0f,    2.9f, {-0.01f, -0.01f,  0.00f,  0.08f, -0.03f}, {-0.00f,  0.04f,  0.06f,  0.03f, -0.15f}},
    {Feature::rise_115,       0.0f,    3.8f, {-0.04f, -0.07f, -0.01f,  0.09f,  0.07f}, { 0.14f,  0.02f, -0.01f, -0.14f, -0.04f}},
    {Feature::rise_210,       0.0f,    4.1f, { 0.17f,  0.17f,  0.11f, -0.13f, -0.29f}, {-0.10f, -0.04f, -0.03f,  0.09f,  0.04f}},
    {Feature::rise_420,       0.0f,    3.9f, {-0.01f, -0.06f,  0.01f, -0.03f,  0.13f}, { 0.04f,  0.00f,  0.02f, -0.09f,  0.00f}},
    {Feature::rise_850,       0.0f,    4.3f, { 0.52f,  0.16f,  0.01f, -0.36f, -0.30f}, { 0.54f,  0.05f, -0.17f, -0.19f, -0.26f}},
    {Feature::rise_1700,      0.0f,    4.8f, { 0.24f,  0.01f, -0.20f, -0.09f,  0.08f}, {-0.64f, -0.24f,  0.17f,  0.23f,  0.44f}},
    {Feature::rise_3400,      0.0f,    5.2f, {-0.17f,  0.08f, -0.01f,  0.09f,  0.04f}, { 0.44f,  0.01f, -0.00f, -0.14f, -0.34f}},
    {Feature::rise_7500,      0.0f,    5.4f, { 0.20f,  0.01f,  0.04f, -0.07f, -0.14f}, {-0.17f, -0.18f,  0.02f,  0.16f,  0.14f}},
    {Feature::attack,        -0.7f,    2.5f, {-0.03f, -0.01f,  0.02f,  0.05f,  0.01f}, {-0.40f,  0.02f,  0.27f,  0.06f,  0.02f}},
    {Feature::slap_20,       -9.2f,    0.1f, { 0.03f, -0.16f,  0.11f, -0.01f,  0.07f}, { 0.10f,  0.28f,  0.13f,  0.44f, -0.98f}},
    {Feature::slap_60,       -9.2f,    2.2f, {-0.01f,  0.11f, -0.05f, -0.07f,  0.05f}, {-0.16f, -0.20f, -0.14f, -0.22f,  0.69f}},
    {Feature::slap_200,      -9.2f,    3.1f, {-0.10f,  0.01f,  0.02f,  0.01f,  0.10f}, { 0.04f, -0.00f, -0.11f, -0.06f,  0.09f}},
    {Feature::body_40,       -9.2f,    1.8f, { 0.04f,  0.02f, -0.03f, -0.04f,  0.05f}, {-0.02f,  0.04f,  0.06f,  0.08f, -0.20f}},
    {Feature::body_90,       -9.2f,    3.0f, { 0.06f,  0.03f,  0.10f, -0.03f, -0.12f}, { 0.07f,  0.13f,  0.10f, -0.05f, -0.29f}},
    {Feature::body_200,      -9.2f,    3.7f, { 0.05f, -0.04f,  0.07f,  0.10f, -0.14f}, {-0.08f, -0.07f, -0.13f,  0.15f,  0.10f}},
    {Feature::balance,      -13.8f,    4.6f, { 0.01f, -0.29f, -0.08f,  0.42f, -0.01f}, {-0.14f, -0.86f, -0.78f,  0.36f,  1.38f}},
    {Feature::rumble,       -13.8f,    8.9f, { 0.03f, -0.23f,  0.02f,  0.02f,  0.19f}, { 0.58f,  0.62f,  0.63f, -0.65f, -1.21f}},
    {Feature::low_colour,   -13.8f,   13.8f, { 0.01f, -0.04f,  0.02f,  0.01f,  0.03f}, {-0.26f, -0.22f, -0.00f,  0.15f,  0.30f}},
    {Feature::slap_colour,   -3.6f,   13.8f, { 0.38f, -0.06f, -0.11f, -0.07f, -0.11f}, { 0.28f, -0.20f, -0.16f, -0.01f,  0.06f}},
    {Feature::share_115,     -9.2f,   -0.3f, { 0.06f, -0.17f,  0.16f,  0.03f, -0.04f}, { 0.33f, -0.13f,  0.05f, -0.02f, -0.27f}},
    {Feature::share_210,     -9.2f,   -0.5f, {-0.04f,  0.07f,  0.07f,  0.01f, -0.09f}, { 0.14f, -0.17f, -0.01f,  0.07f, -0.07f}},
    {Feature::share_420,     -9.2f,   -0.6f, { 0.05f, -0.06f, -0.02f,  0.05f,  0.01f}, {-0.15f, -0.19f,  0.05f,  0.21f,  0.05f}},
    {Feature::share_850,     -9.2f,   -0.5f, {-0.21f, -0.33f, -0.03f,  0.16f,  0.44f}, {-0.56f, -0.59f, -0.18f,  0.41f,  0.88f}},
    {Feature::share_1700,    -9.2f,   -0.5f, {-0.10f, -0.10f,  0.07f,  0.11f,  0.05f}, { 0.04f,  0.04f,  0.03f, -0.05f, -0.09f}},
    {Feature::share_3400,    -9.2f,   -0.3f, { 0.08f,  0.12f,  0.22f, -0.05f, -0.33f}, {-0.44f, -0.49f, -0.65f,  0.45f,  1.10f}},
    {Feature::share_7500,    -9.2f,   -0.7f, {-0.00f, -0.15f, -0.12f,  0.12f,  0.20f}, { 0.17f,  0.64f,  0.18f, -0.51f, -0.51f}},
    {Feature::tone,           1.9f,    8.4f, { 0.13f,  0.16f,  0.09f, -0.07f, -0.28f}, {-0.24f, -0.47f, -0.47f,  0.63f,  0.52f}},
    {Feature::ring,           0.9f,    6.0f, { 0.14f,  0.08f,  0.02f,  0.02f, -0.21f}, {-0.28f, -0.01f, -0.05f,  0.06f,  0.24f}},
    {Feature::before,        -1.1f,    1.1f, { 0.29f,  0.20f,  0.02f, -0.12f, -0.35f}, {-0.08f,  0.01f,  0.03f,  0.07f, -0.07f}},
    {Feature::density,        2.0f,   38.4f, { 0.15f,  0.03f,  0.00f, -0.10f, -0.05f}, {-0.11f, -0.23f, -0.13f,  0.05f,  0.39f}},
    {Feature::comb,           0.0f,    0.3f, { 0.05f,  0.21f,  0.06f, -0.06f, -0.22f}, { 0.72f,  0.05f, -0.39f, -0.12f, -0.29f}},
    {Feature::echo,           0.0f,    0.4f, { 0.40f,  0.04f,  0.04f,  0.01f, -0.46f}, { 0.32f,  0.07f,  0.16f, -0.06f, -0.54f}},
    {Feature::after,          0.0f,    3.1f, {-0.28f, -0.07f,  0.05f,  0.09f,  0.23f}, { 0.79f,  1.07f,  0.47f, -0.64f, -1.72f}},
    {Feature::repeat,         0.0f,    4.0f, { 0.03f,  0.00f,  0.00f,  0.01f, -0.02f}, { 0.07f,  0.09f,  0.07f, -0.01f, -0.25f}},
    {Feature::rank,          -6.0f,    0.2f, { 1.78f,  0.95f, -0.18f, -1.08f, -1.44f}, { 0.27f,  0.39f, -0.18f, -0.42f, -0.08f}},
    {Feature::first,        -11.3f,    2.8f, {-3.99f, -2.95f, -0.91f,  2.68f,  5.21f}, {-2.09f, -1.95f, -1.54f,  0.68f,  4.87f}},
    {Feature::kin_most,       0.0f,    0.6f, {-1.84f, -0.54f,  0.25f,  0.77f,  1.40f}, {-2.14f, -0.75f,  0.53f,  1.52f,  0.81f}},
    {Feature::kin_sum,        0.1f,    1.6f, { 0.53f, -0.26f,  0.02f,  0.05f, -0.29f}, { 3.22f,  0.45f, -0.77f, -1.01f, -1.93f}},
    {Feature::kin_sure,       0.5f,    2.9f, {-0.47f, -0.09f,  0.29f,  0.58f, -0.27f}, {-2.00f, -1.34f, -0.08f,  1.34f,  2.05f}},
    {Feature::kin_level,     -5.5f,    0.8f, {-4.30f, -2.13f,  0.16f,  2.36f,  3.93f}, {-2.67f, -1.34f,  0.21f,  1.99f,  1.77f}},
}};

constexpr float rally_bias = -2.690f;
constexpr std::array<Curve, 2> rally_curves{{
    {Feature::second,       -10.8f,    4.4f, {-6.73f, -3.82f, -0.14f,  3.81f,  6.46f}, {-6.03f, -3.71f, -0.42f,  3.15f,  7.43f}},
    {Feature::rally,          0.0f,    2.4f, {-0.87f, -0.82f, -0.62f,  0.17f,  1.72f}, {-0.96f, -0.77f, -0.02f,  0.52f,  1.65f}},
}};

constexpr float hard_bias = -0.527f;
constexpr std::array<Curve, 8> hard_curves{{
    {Feature::kin_level,     -2.1f,    1.9f, {-2.55f, -0.72f,  0.58f,  1.39f,  1.68f}, {-3.04f, -1.24f,  0.40f,  1.33f,  2.18f}},
    {Feature::rank,          -3.4f,    2.5f, { 0.03f, -0.24f, -0.24f,  0.26f,  0.57f}, {-1.59f, -1.48f, -0.27f,  1.32f,  1.64f}},
    {Feature::attack,        -0.3f,    2.2f, { 0.10f,  0.13f,  0.07f,  0.06f,  0.01f}, {-0.17f, -0.01f, -0.03f, -0.10f, -0.07f}},
    {Feature::slap_20,       -9.2f,   -0.8f, { 0.29f,  0.11f,  0.22f,  0.05f, -0.30f}, {-0.11f, -0.19f, -0.20f,  0.20f, -0.08f}},
    {Feature::balance,       -3.1f,    2.8f, { 0.47f,  0.23f,  0.20f, -0.10f, -0.43f}, { 0.30f,  0.47f,  0.30f, -0.26f, -1.19f}},
    {Feature::slap_colour,   -1.4f,    5.3f, {-0.15f,  0.44f,  0.24f, -0.19f,  0.03f}, { 0.19f,  0.28f, -0.21f, -0.51f, -0.12f}},
    {Feature::rise_210,       0.0f,    8.8f, { 0.08f,  0.25f,  0.27f,  0.00f, -0.22f}, { 0.27f, -0.26f, -0.21f, -0.14f, -0.03f}},
    {Feature::rise_3400,      0.1f,    9.4f, {-0.87f, -0.26f,  0.26f,  0.54f,  0.70f}, { 0.01f, -0.13f, -0.11f, -0.03f, -0.12f}},
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
