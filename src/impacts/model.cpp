// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "impacts/curve_model.h"

// Fitted by tests/bench/impacts/fit.cpp (penalised logistic regression, Newton's method) on clips of 8
// to 20 s, seeds from 100000 on: 240 a split with balls made by rule (families `modes` and `thump`), every
// other two over beds of the bank of recorded sounds, 50 a split with its balls, of its `fit` half
// alone; 9443 contacts against 197086 other candidates.
namespace downball::impacts {
namespace {

// Feature, its lowest and highest knot, and what it adds to the log-odds at the knots: for faint
// sounds, for clear sounds.
// clang-format off
constexpr float first_bias = -8.487f;
constexpr std::array<Curve, 35> first_curves{{
    {Feature::rise_rumble,    0.0f,    2.9f, { 0.10f,  0.34f,  0.22f, -0.08f, -0.17f}, {-0.13f,  0.05f,  0.10f, -0.05f, -0.39f}},
    {Feature::rise_115,       0.0f,    3.8f, {-0.25f, -0.39f,  0.15f,  0.49f,  0.43f}, {-0.26f, -0.09f, -0.13f, -0.15f,  0.20f}},
    {Feature::rise_210,       0.0f,    4.2f, {-1.51f, -0.93f,  0.41f,  1.01f,  1.44f}, { 0.33f, -0.29f, -0.28f, -0.28f,  0.09f}},
    {Feature::rise_420,       0.0f,    4.0f, {-0.91f, -0.13f,  0.62f,  0.62f,  0.23f}, {-0.06f, -0.09f, -0.25f, -0.07f,  0.04f}},
    {Feature::rise_850,       0.0f,    4.4f, {-0.88f, -1.05f, -0.14f,  0.71f,  1.79f}, { 1.01f, -0.02f, -0.69f, -0.45f, -0.28f}},
    {Feature::rise_1700,      0.0f,    4.9f, {-0.90f, -0.26f,  0.30f,  0.57f,  0.70f}, {-0.66f, -0.68f, -0.24f,  0.35f,  0.80f}},
    {Feature::rise_3400,      0.0f,    5.2f, {-1.65f, -0.47f,  0.35f,  1.08f,  1.12f}, {-0.36f, -0.94f, -0.25f,  0.52f,  0.61f}},
    {Feature::rise_7500,      0.0f,    5.2f, { 0.46f,  0.01f, -0.11f,  0.09f, -0.03f}, { 2.01f,  0.39f, -0.73f, -1.02f, -1.07f}},
    {Feature::attack,        -0.7f,    2.5f, { 0.01f,  0.06f,  0.42f,  0.10f, -0.18f}, {-0.91f,  0.06f,  0.64f,  0.05f, -0.25f}},
    {Feature::slap_20,       -9.2f,    0.1f, { 0.74f,  0.40f,  0.48f, -0.01f, -1.19f}, { 1.53f,  1.46f,  1.81f,  0.87f, -6.10f}},
    {Feature::slap_60,       -9.2f,    2.1f, { 0.22f,  0.05f,  0.13f, -0.30f,  0.32f}, { 0.40f,  0.41f,  0.29f, -0.61f, -0.91f}},
    {Feature::slap_200,      -9.2f,    3.1f, { 0.21f,  0.19f,  0.21f, -0.03f, -0.15f}, { 0.32f,  0.27f, -0.42f, -0.41f, -0.19f}},
    {Feature::body_40,       -9.2f,    1.7f, { 0.24f,  0.47f,  0.27f, -0.29f, -0.26f}, {-0.54f, -0.27f, -0.14f, -0.20f,  0.73f}},
    {Feature::body_90,       -9.2f,    3.0f, { 0.46f,  0.33f,  0.08f, -0.23f, -0.21f}, { 0.29f,  0.43f,  0.39f, -0.50f, -1.03f}},
    {Feature::body_200,      -9.2f,    3.8f, { 0.34f,  0.39f,  0.04f, -0.13f, -0.22f}, { 0.01f,  0.22f, -0.21f, -0.36f, -0.09f}},
    {Feature::balance,      -13.8f,    4.6f, { 0.48f, -0.15f, -0.13f,  0.42f, -0.20f}, {-0.03f, -0.34f, -0.26f,  0.15f,  0.05f}},
    {Feature::rumble,       -13.8f,    4.9f, { 0.18f, -0.20f,  0.16f,  0.05f,  0.23f}, { 0.55f,  0.69f,  0.82f, -0.77f, -1.72f}},
    {Feature::low_colour,   -13.8f,   13.8f, { 0.03f, -0.23f,  0.02f,  0.36f,  0.24f}, {-0.56f, -0.75f, -0.30f,  0.26f,  0.93f}},
    {Feature::slap_colour,   -3.5f,   13.8f, { 1.66f,  0.13f, -0.71f, -0.65f, -0.00f}, { 1.10f, -0.17f, -0.62f, -0.51f, -0.22f}},
    {Feature::share_115,     -9.2f,   -0.3f, { 0.11f, -0.31f, -0.26f,  0.20f,  0.69f}, { 0.33f,  0.06f,  0.37f, -0.00f, -1.17f}},
    {Feature::share_210,     -9.2f,   -0.5f, {-0.08f, -0.63f, -0.79f,  0.23f,  1.68f}, {-1.20f, -1.62f, -1.01f,  1.14f,  2.26f}},
    {Feature::share_420,     -9.2f,   -0.6f, { 0.18f, -0.05f, -0.20f, -0.10f,  0.59f}, {-0.51f, -1.01f, -0.70f,  0.66f,  1.14f}},
    {Feature::share_850,     -9.2f,   -0.4f, {-0.30f, -0.82f, -0.60f,  0.24f,  1.90f}, {-0.70f, -0.36f,  0.07f,  0.22f,  0.35f}},
    {Feature::share_1700,    -9.2f,   -0.5f, {-0.42f, -0.75f, -0.24f,  0.51f,  1.32f}, {-0.50f, -0.06f,  0.09f, -0.34f,  0.39f}},
    {Feature::share_3400,    -9.2f,   -0.2f, { 0.31f,  0.11f,  0.18f,  0.09f, -0.26f}, {-1.61f, -1.60f, -1.37f,  0.82f,  3.34f}},
    {Feature::share_7500,    -9.2f,   -0.7f, { 0.00f, -0.09f, -0.38f,  0.31f,  0.58f}, { 1.12f,  3.01f,  1.26f, -1.67f, -4.14f}},
    {Feature::tone,           1.9f,    8.5f, { 0.19f,  0.24f,  0.66f,  0.63f, -1.30f}, {-1.12f, -2.13f, -1.20f,  0.90f,  3.13f}},
    {Feature::ring,           1.0f,    6.0f, { 0.18f,  0.62f,  0.48f,  0.07f, -0.92f}, {-1.17f, -0.20f,  0.03f,  0.17f,  0.75f}},
    {Feature::before,        -1.1f,    1.1f, { 0.72f,  0.35f,  0.08f, -0.27f, -0.47f}, {-0.23f, -0.04f,  0.06f,  0.07f, -0.28f}},
    {Feature::density,        2.0f,   38.6f, { 0.96f,  0.97f,  0.14f, -0.56f, -1.10f}, { 2.38f,  0.30f, -0.46f, -1.06f, -1.58f}},
    {Feature::comb,           0.0f,    0.3f, {-0.60f,  1.10f,  0.64f,  0.02f, -0.75f}, { 1.10f,  0.61f, -0.68f, -0.72f, -0.74f}},
    {Feature::echo,           0.0f,    0.4f, { 1.19f,  0.12f, -0.09f, -0.18f, -0.62f}, { 1.81f,  1.61f,  0.91f, -0.94f, -3.82f}},
    {Feature::after,          0.0f,    3.2f, {-1.15f,  0.06f,  0.43f,  0.66f,  0.42f}, { 2.14f,  1.63f,  0.11f, -1.42f, -2.89f}},
    {Feature::repeat,         0.0f,    4.0f, { 0.36f,  0.39f,  0.24f, -0.03f, -0.53f}, { 0.15f,  0.44f,  0.21f, -0.26f, -0.95f}},
    {Feature::rank,          -6.0f,    0.2f, {-2.90f, -0.94f,  0.78f,  1.68f,  1.81f}, {-4.21f, -1.64f,  1.01f,  2.41f,  2.01f}},
}};

constexpr float second_bias = -6.645f;
constexpr std::array<Curve, 40> second_curves{{
    {Feature::rise_rumble,    0.0f,    2.9f, {-0.09f,  0.02f,  0.03f, -0.08f, -0.00f}, { 0.05f,  0.02f,  0.09f,  0.05f, -0.08f}},
    {Feature::rise_115,       0.0f,    3.8f, { 0.23f, -0.03f, -0.04f, -0.05f, -0.23f}, {-0.24f, -0.02f,  0.09f,  0.09f,  0.20f}},
    {Feature::rise_210,       0.0f,    4.2f, {-0.05f,  0.10f,  0.16f, -0.11f, -0.22f}, { 0.34f,  0.11f,  0.06f, -0.19f, -0.20f}},
    {Feature::rise_420,       0.0f,    4.0f, { 0.11f,  0.21f,  0.10f, -0.04f, -0.51f}, {-0.24f,  0.05f,  0.01f,  0.14f,  0.16f}},
    {Feature::rise_850,       0.0f,    4.4f, { 0.63f,  0.10f, -0.14f, -0.39f, -0.32f}, { 0.65f,  0.23f, -0.16f, -0.27f, -0.33f}},
    {Feature::rise_1700,      0.0f,    4.9f, { 0.13f, -0.09f, -0.15f, -0.04f,  0.03f}, {-0.11f, -0.07f,  0.05f,  0.14f,  0.11f}},
    {Feature::rise_3400,      0.0f,    5.2f, {-0.17f,  0.01f, -0.07f,  0.10f,  0.00f}, { 0.32f, -0.05f, -0.01f, -0.04f, -0.09f}},
    {Feature::rise_7500,      0.0f,    5.2f, { 0.16f,  0.01f, -0.02f, -0.03f, -0.25f}, { 0.43f, -0.01f, -0.15f, -0.08f, -0.06f}},
    {Feature::attack,        -0.7f,    2.5f, {-0.08f, -0.07f,  0.07f, -0.01f, -0.03f}, {-0.28f,  0.01f,  0.16f,  0.06f,  0.18f}},
    {Feature::slap_20,       -9.2f,    0.1f, { 0.03f, -0.04f,  0.06f, -0.09f, -0.09f}, { 0.25f,  0.16f,  0.29f,  0.44f, -1.01f}},
    {Feature::slap_60,       -9.2f,    2.1f, {-0.04f, -0.04f,  0.05f, -0.14f,  0.05f}, {-0.05f, -0.02f, -0.04f, -0.03f,  0.26f}},
    {Feature::slap_200,      -9.2f,    3.1f, {-0.03f, -0.06f,  0.04f, -0.01f, -0.07f}, { 0.01f,  0.09f, -0.16f, -0.07f,  0.25f}},
    {Feature::body_40,       -9.2f,    1.7f, {-0.02f, -0.00f, -0.01f, -0.08f, -0.02f}, {-0.13f, -0.13f, -0.05f, -0.05f,  0.50f}},
    {Feature::body_90,       -9.2f,    3.0f, { 0.07f, -0.02f,  0.03f, -0.06f, -0.14f}, { 0.10f,  0.06f,  0.07f, -0.04f, -0.07f}},
    {Feature::body_200,      -9.2f,    3.8f, {-0.01f,  0.05f, -0.05f, -0.03f, -0.08f}, {-0.13f, -0.02f, -0.12f,  0.03f,  0.36f}},
    {Feature::balance,      -13.8f,    4.6f, {-0.37f, -0.32f,  0.04f,  0.43f,  0.09f}, {-0.08f, -0.16f, -0.02f,  0.15f,  0.22f}},
    {Feature::rumble,       -13.8f,    4.9f, { 0.06f, -0.24f,  0.05f, -0.01f,  0.01f}, { 0.13f, -0.02f,  0.23f, -0.10f, -0.11f}},
    {Feature::low_colour,   -13.8f,   13.8f, {-0.33f, -0.22f,  0.05f,  0.25f,  0.13f}, {-0.36f, -0.45f, -0.09f,  0.31f,  0.71f}},
    {Feature::slap_colour,   -3.5f,   13.8f, { 0.68f,  0.04f, -0.30f, -0.35f, -0.18f}, { 0.67f,  0.13f, -0.23f, -0.26f, -0.19f}},
    {Feature::share_115,     -9.2f,   -0.3f, { 0.21f,  0.04f, -0.16f, -0.17f, -0.03f}, { 0.36f,  0.06f,  0.16f, -0.01f, -0.45f}},
    {Feature::share_210,     -9.2f,   -0.5f, {-0.19f,  0.06f, -0.05f, -0.02f,  0.07f}, {-0.17f, -0.25f, -0.15f,  0.31f,  0.37f}},
    {Feature::share_420,     -9.2f,   -0.6f, {-0.08f,  0.02f,  0.07f, -0.05f, -0.08f}, { 0.03f, -0.18f,  0.01f,  0.26f,  0.00f}},
    {Feature::share_850,     -9.2f,   -0.4f, {-0.33f, -0.45f, -0.17f,  0.21f,  0.62f}, {-0.67f, -0.43f, -0.04f,  0.44f,  0.82f}},
    {Feature::share_1700,    -9.2f,   -0.5f, {-0.23f, -0.28f,  0.03f,  0.12f,  0.23f}, { 0.31f,  0.43f,  0.30f, -0.39f, -0.52f}},
    {Feature::share_3400,    -9.2f,   -0.2f, { 0.03f,  0.10f,  0.18f, -0.12f, -0.31f}, {-0.16f, -0.21f, -0.39f,  0.23f,  0.66f}},
    {Feature::share_7500,    -9.2f,   -0.7f, {-0.07f, -0.16f, -0.24f,  0.10f,  0.25f}, {-0.09f,  0.67f,  0.38f, -0.25f, -0.58f}},
    {Feature::tone,           1.9f,    8.5f, { 0.10f,  0.16f,  0.25f,  0.25f, -0.88f}, {-0.17f, -0.46f, -0.35f,  0.14f,  0.95f}},
    {Feature::ring,           1.0f,    6.0f, { 0.06f,  0.07f,  0.02f, -0.06f, -0.22f}, {-0.28f, -0.01f,  0.07f,  0.08f,  0.27f}},
    {Feature::before,        -1.1f,    1.1f, { 0.31f,  0.25f,  0.00f, -0.24f, -0.45f}, {-0.02f,  0.07f,  0.05f,  0.08f, -0.05f}},
    {Feature::density,        2.0f,   38.6f, { 0.23f,  0.02f, -0.09f, -0.14f, -0.14f}, {-0.24f, -0.38f,  0.01f,  0.28f,  0.46f}},
    {Feature::comb,           0.0f,    0.3f, { 0.08f,  0.34f,  0.13f, -0.12f, -0.55f}, { 0.87f,  0.23f, -0.38f, -0.30f, -0.30f}},
    {Feature::echo,           0.0f,    0.4f, { 0.72f, -0.01f, -0.13f, -0.16f, -0.54f}, { 0.02f,  0.29f,  0.45f,  0.10f, -0.74f}},
    {Feature::after,          0.0f,    3.2f, {-0.68f, -0.08f,  0.04f,  0.29f,  0.31f}, { 1.08f,  0.91f,  0.15f, -0.63f, -1.39f}},
    {Feature::repeat,         0.0f,    4.0f, { 0.07f,  0.09f,  0.03f, -0.06f, -0.25f}, { 0.08f,  0.27f,  0.18f, -0.05f, -0.36f}},
    {Feature::rank,          -6.0f,    0.2f, { 1.63f,  1.09f, -0.01f, -1.20f, -1.63f}, {-0.38f, -0.08f,  0.20f,  0.03f,  0.37f}},
    {Feature::first,        -13.0f,    3.1f, {-4.06f, -2.84f, -1.01f,  2.20f,  5.59f}, {-2.45f, -2.20f, -1.53f,  0.75f,  5.56f}},
    {Feature::kin_most,       0.0f,    0.6f, {-2.13f, -0.78f,  0.32f,  0.73f,  1.73f}, {-1.53f, -0.93f,  0.22f,  1.23f,  1.14f}},
    {Feature::kin_sum,        0.1f,    1.7f, {-0.01f, -0.31f, -0.14f, -0.13f,  0.47f}, { 2.14f,  0.38f, -0.26f, -0.57f, -1.57f}},
    {Feature::kin_sure,       0.5f,    2.9f, {-0.41f, -0.07f,  0.41f,  0.48f, -0.54f}, {-1.23f, -1.29f, -0.04f,  1.17f,  1.51f}},
    {Feature::kin_level,     -5.6f,    0.7f, {-5.09f, -2.99f, -0.15f,  3.27f,  4.84f}, {-2.83f, -1.52f,  0.17f,  2.26f,  2.04f}},
}};

constexpr float rally_bias = -3.194f;
constexpr std::array<Curve, 2> rally_curves{{
    {Feature::second,       -13.5f,    4.9f, {-7.21f, -4.47f, -0.65f,  3.99f,  7.20f}, {-5.40f, -3.75f, -1.21f,  3.35f,  8.15f}},
    {Feature::rally,          0.0f,    2.3f, {-1.31f, -0.71f, -0.66f,  0.16f,  1.38f}, {-0.71f, -0.57f, -0.13f,  0.65f,  1.90f}},
}};

constexpr float hard_bias = -0.154f;
constexpr std::array<Curve, 8> hard_curves{{
    {Feature::kin_level,     -1.6f,    1.6f, {-1.74f, -0.58f,  0.39f,  1.12f,  1.13f}, {-1.80f, -0.93f,  0.16f,  0.72f,  1.53f}},
    {Feature::rank,          -2.7f,    2.2f, { 0.44f, -0.07f, -0.03f, -0.00f, -0.01f}, {-1.73f, -1.24f, -0.17f,  1.36f,  1.46f}},
    {Feature::attack,        -0.3f,    2.2f, { 0.10f,  0.02f,  0.09f,  0.15f, -0.04f}, {-0.24f, -0.04f,  0.00f,  0.08f, -0.13f}},
    {Feature::slap_20,       -9.2f,   -0.8f, { 0.11f,  0.29f,  0.21f, -0.16f, -0.13f}, { 0.02f, -0.34f,  0.01f,  0.11f, -0.12f}},
    {Feature::balance,       -3.4f,    2.8f, { 0.60f,  0.37f,  0.20f, -0.22f, -0.63f}, { 0.14f,  0.79f,  0.11f, -0.17f, -1.19f}},
    {Feature::slap_colour,   -1.4f,    5.6f, { 0.04f,  0.26f, -0.02f, -0.21f,  0.24f}, { 0.32f,  0.27f, -0.21f, -0.24f, -0.46f}},
    {Feature::rise_210,       0.0f,    8.8f, {-0.27f, -0.25f,  0.11f,  0.30f,  0.42f}, { 0.02f,  0.04f, -0.18f, -0.19f, -0.01f}},
    {Feature::rise_3400,      0.0f,    9.3f, {-0.55f, -0.08f,  0.21f,  0.34f,  0.40f}, { 0.08f, -0.18f, -0.06f, -0.11f, -0.05f}},
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
