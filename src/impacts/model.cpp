// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "impacts/curve_model.h"

// Fitted by tests/bench/impacts/fit.cpp (penalised logistic regression, Newton's method) on clips of 8
// to 20 s, seeds from 100000 on: 120 a split with balls made by rule (families `modes` and `thump`), 30 a
// split with the `fit` half of the bank of recorded sounds; 4999 contacts against 90013 other candidates.
namespace downball::impacts {
namespace {

// Feature, its lowest and highest knot, and what it adds to the log-odds at the knots: for faint
// sounds, for clear sounds.
// clang-format off
constexpr float first_bias = -8.524f;
constexpr std::array<Curve, 35> first_curves{{
    {Feature::rise_rumble,    0.0f,    2.8f, { 0.43f,  0.27f,  0.18f, -0.11f, -0.34f}, {-0.33f,  0.06f,  0.15f,  0.14f, -0.45f}},
    {Feature::rise_115,       0.0f,    3.9f, {-0.18f, -0.37f,  0.10f,  0.35f,  0.53f}, {-0.42f, -0.17f,  0.03f,  0.16f, -0.03f}},
    {Feature::rise_210,       0.0f,    4.3f, {-1.40f, -0.92f,  0.35f,  0.77f,  1.65f}, {-0.00f, -0.18f, -0.23f, -0.28f,  0.26f}},
    {Feature::rise_420,       0.0f,    4.2f, {-1.66f, -0.28f,  0.85f,  0.97f,  0.55f}, { 0.25f,  0.03f, -0.05f, -0.24f, -0.42f}},
    {Feature::rise_850,       0.0f,    4.8f, {-1.37f, -1.05f, -0.08f,  0.97f,  1.96f}, {-0.29f, -0.57f, -0.54f,  0.08f,  0.88f}},
    {Feature::rise_1700,      0.0f,    5.3f, {-1.26f, -0.27f,  0.30f,  0.76f,  0.90f}, {-0.56f, -0.39f,  0.01f,  0.29f,  0.21f}},
    {Feature::rise_3400,      0.0f,    5.7f, {-2.26f, -0.28f,  0.79f,  1.09f,  1.10f}, {-1.09f, -1.13f, -0.07f,  0.69f,  1.17f}},
    {Feature::rise_7500,      0.0f,    5.5f, { 1.94f,  0.76f, -0.34f, -0.68f, -1.25f}, { 1.43f,  0.17f, -0.42f, -0.63f, -0.98f}},
    {Feature::attack,        -0.7f,    2.4f, { 0.24f,  0.07f,  0.32f,  0.17f, -0.37f}, {-0.78f,  0.41f,  0.72f, -0.04f, -0.75f}},
    {Feature::slap_20,       -9.2f,    0.0f, { 0.78f,  0.52f,  0.56f,  0.17f, -1.60f}, { 0.93f,  1.26f,  1.40f,  0.68f, -4.70f}},
    {Feature::slap_60,       -9.2f,    2.4f, { 0.17f,  0.15f,  0.11f, -0.33f,  0.33f}, { 0.56f,  0.50f,  0.27f, -0.64f, -1.13f}},
    {Feature::slap_200,      -9.2f,    3.5f, { 0.25f,  0.51f,  0.27f, -0.10f, -0.50f}, { 0.49f,  0.18f, -0.24f, -0.49f, -0.37f}},
    {Feature::body_40,       -9.2f,    1.5f, { 0.34f,  0.19f,  0.02f, -0.17f,  0.05f}, {-0.47f,  0.01f, -0.04f, -0.15f,  0.21f}},
    {Feature::body_90,       -9.2f,    2.7f, { 0.38f,  0.39f,  0.09f, -0.40f, -0.02f}, { 0.19f,  0.50f,  0.08f, -0.43f, -0.77f}},
    {Feature::body_200,      -9.2f,    3.4f, { 0.21f,  0.35f, -0.07f, -0.15f,  0.10f}, { 0.28f,  0.44f,  0.13f, -0.46f, -0.81f}},
    {Feature::balance,      -13.8f,    4.8f, { 0.25f, -0.13f, -0.03f,  0.52f, -0.17f}, {-0.08f, -0.25f, -0.17f,  0.03f,  0.05f}},
    {Feature::rumble,       -13.8f,    2.9f, { 0.03f, -0.18f, -0.12f,  0.22f,  0.49f}, { 0.50f,  0.74f,  0.79f, -0.31f, -2.16f}},
    {Feature::low_colour,   -13.8f,   13.8f, { 0.49f,  0.02f,  0.01f,  0.12f, -0.21f}, { 0.10f, -0.30f, -0.31f, -0.12f,  0.19f}},
    {Feature::slap_colour,   -2.5f,   13.8f, { 1.88f, -0.33f, -0.54f, -0.43f, -0.16f}, { 2.39f, -0.18f, -0.49f, -0.84f, -1.31f}},
    {Feature::share_115,     -9.2f,   -0.3f, {-0.27f, -0.59f, -0.25f,  0.43f,  1.12f}, {-0.04f,  0.14f,  0.61f,  0.07f, -1.21f}},
    {Feature::share_210,     -9.2f,   -0.4f, { 0.16f, -0.98f, -0.95f,  0.60f,  1.60f}, {-1.63f, -1.60f, -0.87f,  1.22f,  2.44f}},
    {Feature::share_420,     -9.2f,   -0.6f, { 0.44f, -0.04f, -0.20f,  0.01f,  0.23f}, {-0.14f, -0.84f, -0.86f,  0.18f,  1.23f}},
    {Feature::share_850,     -9.2f,   -0.5f, {-0.30f, -0.57f, -0.46f,  0.30f,  1.45f}, {-1.52f, -0.74f,  0.08f,  0.85f,  0.90f}},
    {Feature::share_1700,    -9.2f,   -0.5f, {-0.66f, -0.71f, -0.29f,  0.53f,  1.56f}, {-0.19f, -0.13f, -0.21f, -0.35f,  0.45f}},
    {Feature::share_3400,    -9.2f,   -0.3f, { 0.56f, -0.05f,  0.01f,  0.20f, -0.29f}, {-1.35f, -1.49f, -1.31f,  0.42f,  3.30f}},
    {Feature::share_7500,    -9.2f,   -1.2f, { 0.08f,  0.06f, -0.16f, -0.40f,  0.85f}, { 2.21f,  2.93f,  1.15f, -2.07f, -4.65f}},
    {Feature::tone,           1.8f,    8.1f, { 0.16f,  0.02f,  0.08f,  0.46f, -0.28f}, {-0.89f, -1.98f, -1.29f,  0.92f,  2.80f}},
    {Feature::ring,           0.9f,    6.0f, { 0.28f,  0.64f,  0.57f, -0.13f, -0.92f}, {-1.41f, -0.45f,  0.34f,  0.30f,  0.79f}},
    {Feature::before,        -1.1f,    1.1f, { 0.78f,  0.51f,  0.02f, -0.28f, -0.59f}, {-0.38f, -0.37f,  0.13f,  0.17f,  0.02f}},
    {Feature::density,        1.7f,   36.2f, { 1.22f,  0.87f, -0.18f, -0.76f, -0.71f}, { 1.74f, -0.12f, -0.42f, -0.65f, -0.98f}},
    {Feature::comb,           0.0f,    0.3f, {-0.44f,  0.98f,  0.55f, -0.02f, -0.63f}, { 0.77f,  0.41f, -0.30f, -0.44f, -0.88f}},
    {Feature::echo,           0.0f,    0.4f, { 0.87f,  0.25f, -0.06f, -0.24f, -0.39f}, { 3.35f,  2.15f,  0.38f, -1.85f, -4.46f}},
    {Feature::after,          0.0f,    3.1f, {-0.58f,  0.24f,  0.36f,  0.26f,  0.15f}, { 0.81f,  0.79f,  0.06f, -0.68f, -1.42f}},
    {Feature::repeat,         0.0f,    4.0f, { 0.42f,  0.35f,  0.05f, -0.14f, -0.26f}, { 0.04f,  0.45f,  0.23f, -0.28f, -0.88f}},
    {Feature::rank,          -6.0f,    0.3f, {-2.55f, -0.72f,  0.90f,  1.59f,  1.21f}, {-3.85f, -1.60f,  0.76f,  2.45f,  1.81f}},
}};

constexpr float second_bias = -6.209f;
constexpr std::array<Curve, 40> second_curves{{
    {Feature::rise_rumble,    0.0f,    2.8f, { 0.07f, -0.01f, -0.01f, -0.12f, -0.01f}, {-0.14f, -0.00f, -0.01f,  0.12f,  0.10f}},
    {Feature::rise_115,       0.0f,    3.9f, { 0.23f, -0.05f, -0.08f, -0.09f, -0.09f}, {-0.28f, -0.03f,  0.11f,  0.24f,  0.04f}},
    {Feature::rise_210,       0.0f,    4.3f, { 0.26f,  0.00f, -0.03f, -0.31f, -0.01f}, { 0.43f,  0.26f,  0.03f, -0.29f, -0.36f}},
    {Feature::rise_420,       0.0f,    4.2f, { 0.18f,  0.09f, -0.01f, -0.05f, -0.29f}, { 0.14f,  0.03f,  0.02f, -0.01f, -0.11f}},
    {Feature::rise_850,       0.0f,    4.8f, { 0.63f,  0.07f, -0.29f, -0.33f, -0.15f}, { 0.07f, -0.03f, -0.04f, -0.06f,  0.13f}},
    {Feature::rise_1700,      0.0f,    5.3f, { 0.04f, -0.07f, -0.16f,  0.04f,  0.07f}, {-0.29f, -0.02f,  0.15f,  0.16f,  0.08f}},
    {Feature::rise_3400,      0.0f,    5.7f, {-0.55f, -0.15f,  0.08f,  0.22f,  0.32f}, { 0.42f,  0.04f,  0.11f, -0.07f, -0.43f}},
    {Feature::rise_7500,      0.0f,    5.5f, { 0.67f,  0.25f, -0.14f, -0.24f, -0.62f}, {-0.19f, -0.30f, -0.09f,  0.19f,  0.46f}},
    {Feature::attack,        -0.7f,    2.4f, {-0.04f, -0.04f,  0.11f,  0.08f, -0.17f}, {-0.41f,  0.09f,  0.16f,  0.05f,  0.18f}},
    {Feature::slap_20,       -9.2f,    0.0f, { 0.03f, -0.15f, -0.02f,  0.06f,  0.00f}, {-0.06f, -0.02f,  0.09f,  0.44f, -0.38f}},
    {Feature::slap_60,       -9.2f,    2.4f, {-0.04f, -0.04f, -0.05f, -0.22f,  0.27f}, {-0.17f, -0.18f, -0.05f,  0.07f,  0.42f}},
    {Feature::slap_200,      -9.2f,    3.5f, {-0.05f,  0.07f,  0.01f,  0.00f, -0.12f}, {-0.01f, -0.08f, -0.12f, -0.01f,  0.29f}},
    {Feature::body_40,       -9.2f,    1.5f, {-0.03f, -0.06f, -0.06f, -0.03f,  0.10f}, { 0.04f,  0.08f, -0.03f, -0.09f,  0.08f}},
    {Feature::body_90,       -9.2f,    2.7f, {-0.06f, -0.05f,  0.00f, -0.12f,  0.15f}, { 0.02f,  0.15f, -0.01f, -0.02f, -0.06f}},
    {Feature::body_200,      -9.2f,    3.4f, {-0.12f,  0.00f, -0.15f, -0.08f,  0.27f}, {-0.15f, -0.09f,  0.08f,  0.10f,  0.13f}},
    {Feature::balance,      -13.8f,    4.8f, {-0.47f, -0.46f, -0.11f,  0.51f,  0.45f}, {-0.19f, -0.21f, -0.07f,  0.05f,  0.50f}},
    {Feature::rumble,       -13.8f,    2.9f, {-0.03f, -0.19f, -0.16f,  0.12f,  0.18f}, { 0.23f,  0.16f,  0.26f,  0.07f, -0.64f}},
    {Feature::low_colour,   -13.8f,   13.8f, { 0.08f, -0.04f,  0.02f,  0.10f, -0.24f}, {-0.17f, -0.23f, -0.01f,  0.16f,  0.33f}},
    {Feature::slap_colour,   -2.5f,   13.8f, { 0.58f, -0.25f, -0.16f, -0.14f, -0.11f}, { 1.42f,  0.07f, -0.12f, -0.44f, -0.86f}},
    {Feature::share_115,     -9.2f,   -0.3f, {-0.09f, -0.14f, -0.04f,  0.04f,  0.16f}, { 0.20f,  0.13f,  0.22f, -0.11f, -0.37f}},
    {Feature::share_210,     -9.2f,   -0.4f, { 0.04f, -0.30f, -0.18f,  0.21f,  0.16f}, {-0.30f, -0.25f, -0.09f,  0.31f,  0.40f}},
    {Feature::share_420,     -9.2f,   -0.6f, {-0.01f, -0.10f, -0.04f,  0.01f,  0.07f}, { 0.28f, -0.10f, -0.11f,  0.06f, -0.05f}},
    {Feature::share_850,     -9.2f,   -0.5f, {-0.32f, -0.33f, -0.23f,  0.10f,  0.70f}, {-0.97f, -0.51f, -0.01f,  0.62f,  0.94f}},
    {Feature::share_1700,    -9.2f,   -0.5f, {-0.37f, -0.12f,  0.09f,  0.08f,  0.24f}, { 0.31f,  0.38f,  0.21f, -0.36f, -0.47f}},
    {Feature::share_3400,    -9.2f,   -0.3f, { 0.30f,  0.16f,  0.21f, -0.09f, -0.65f}, {-0.03f, -0.25f, -0.47f, -0.05f,  0.88f}},
    {Feature::share_7500,    -9.2f,   -1.2f, {-0.27f, -0.26f, -0.14f, -0.06f,  0.67f}, { 0.00f,  0.63f,  0.45f, -0.20f, -0.80f}},
    {Feature::tone,           1.8f,    8.1f, { 0.06f,  0.20f,  0.11f,  0.07f, -0.52f}, { 0.08f, -0.29f, -0.37f,  0.18f,  0.48f}},
    {Feature::ring,           0.9f,    6.0f, { 0.19f,  0.07f, -0.06f, -0.21f, -0.07f}, {-0.10f, -0.05f,  0.12f, -0.06f,  0.16f}},
    {Feature::before,        -1.1f,    1.1f, { 0.24f,  0.29f,  0.00f, -0.17f, -0.44f}, { 0.11f, -0.09f,  0.05f, -0.01f,  0.01f}},
    {Feature::density,        1.7f,   36.2f, { 0.09f, -0.09f, -0.16f, -0.06f,  0.14f}, {-0.01f, -0.22f,  0.16f,  0.19f, -0.05f}},
    {Feature::comb,           0.0f,    0.3f, {-0.08f,  0.16f,  0.04f, -0.01f, -0.18f}, { 0.84f,  0.25f, -0.21f, -0.27f, -0.54f}},
    {Feature::echo,           0.0f,    0.4f, { 0.41f, -0.02f, -0.11f, -0.15f, -0.20f}, { 0.67f,  0.56f,  0.17f, -0.35f, -0.97f}},
    {Feature::after,          0.0f,    3.1f, {-0.25f,  0.01f,  0.01f, -0.00f,  0.15f}, {-0.01f,  0.28f,  0.15f, -0.04f, -0.30f}},
    {Feature::repeat,         0.0f,    4.0f, { 0.05f,  0.02f, -0.04f, -0.04f, -0.06f}, {-0.09f,  0.18f,  0.12f, -0.02f, -0.12f}},
    {Feature::rank,          -6.0f,    0.3f, { 1.54f,  1.02f, -0.00f, -1.10f, -1.54f}, {-0.33f, -0.08f,  0.16f,  0.22f,  0.12f}},
    {Feature::first,        -12.2f,    4.0f, {-5.28f, -3.58f, -0.95f,  3.12f,  6.60f}, {-3.33f, -2.99f, -1.96f,  1.49f,  6.87f}},
    {Feature::kin_most,       0.0f,    0.6f, {-1.97f, -0.61f,  0.34f,  0.72f,  1.44f}, {-2.04f, -0.93f,  0.37f,  1.38f,  1.30f}},
    {Feature::kin_sum,        0.1f,    1.7f, { 0.14f, -0.32f, -0.10f,  0.12f,  0.09f}, { 1.68f,  0.34f, -0.23f, -0.64f, -1.07f}},
    {Feature::kin_sure,       0.5f,    3.0f, {-1.15f,  0.10f,  0.50f,  0.48f, -0.01f}, {-1.17f, -1.01f,  0.02f,  0.99f,  1.25f}},
    {Feature::kin_level,     -5.6f,    0.8f, {-4.61f, -2.78f, -0.26f,  2.94f,  4.64f}, {-2.45f, -1.38f,  0.02f,  1.91f,  1.98f}},
}};

constexpr float rally_bias = -2.372f;
constexpr std::array<Curve, 2> rally_curves{{
    {Feature::second,       -12.7f,    6.0f, {-7.69f, -4.70f, -0.52f,  4.20f,  7.62f}, {-5.88f, -4.01f, -1.17f,  3.67f,  8.49f}},
    {Feature::rally,          0.0f,    2.4f, {-1.31f, -0.92f, -0.60f,  0.43f,  1.31f}, {-0.81f, -0.50f,  0.06f,  0.68f,  1.66f}},
}};

constexpr float hard_bias = -0.069f;
constexpr std::array<Curve, 8> hard_curves{{
    {Feature::kin_level,     -1.5f,    1.6f, {-1.86f, -0.30f,  0.69f,  0.90f,  0.91f}, {-2.05f, -0.91f,  0.13f,  0.81f,  1.68f}},
    {Feature::rank,          -2.7f,    2.2f, { 0.48f, -0.07f, -0.07f, -0.01f,  0.02f}, {-1.92f, -1.17f, -0.02f,  1.23f,  1.54f}},
    {Feature::attack,        -0.3f,    2.2f, {-0.16f,  0.06f,  0.21f,  0.23f,  0.01f}, {-0.05f, -0.06f, -0.09f, -0.18f,  0.03f}},
    {Feature::slap_20,       -9.2f,   -0.8f, { 0.36f,  0.25f,  0.17f, -0.11f, -0.32f}, {-0.09f, -0.16f, -0.07f,  0.13f, -0.16f}},
    {Feature::balance,       -3.4f,    2.9f, { 0.45f,  0.58f,  0.36f, -0.18f, -0.87f}, { 0.28f,  0.57f,  0.02f, -0.13f, -1.08f}},
    {Feature::slap_colour,   -1.3f,    5.5f, {-0.10f,  0.45f,  0.38f, -0.28f, -0.10f}, { 0.31f,  0.51f, -0.07f, -0.33f, -0.77f}},
    {Feature::rise_210,       0.0f,    8.3f, {-0.97f, -0.29f,  0.28f,  0.58f,  0.75f}, { 0.97f, -0.07f, -0.30f, -0.35f, -0.59f}},
    {Feature::rise_3400,      0.1f,    9.5f, {-0.67f,  0.03f,  0.30f,  0.34f,  0.34f}, { 0.36f, -0.18f, -0.36f, -0.28f,  0.11f}},
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
