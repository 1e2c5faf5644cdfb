// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/impacts/control.h"

// Fitted by tests/bench/impacts/fit.cpp (penalised logistic regression, Newton's method) on clips of 8
// to 20 s, seeds from 100000 on: 240 a split with balls made by rule (families `modes` and `thump`), every
// other two over beds of the bank of recorded sounds, 50 a split with its balls, of its `fit` half
// alone; 9443 contacts against 197086 other candidates.

using namespace downball::impacts;

namespace downball::bench {
namespace {

// Feature, its lowest and highest knot, and what it adds to the log-odds at the knots: for faint
// sounds, for clear sounds.
// clang-format off
constexpr float first_bias = -4.810f;
constexpr std::array<Curve, 6> first_curves{{
    {Feature::rise_850,       0.0f,    4.4f, {-1.72f, -1.60f, -0.18f,  1.05f,  2.19f}, { 3.54f,  1.04f, -1.35f, -1.82f, -1.15f}},
    {Feature::before,        -1.1f,    1.1f, { 0.16f,  0.28f, -0.04f, -0.32f, -0.35f}, {-0.14f, -0.03f,  0.06f,  0.22f,  0.16f}},
    {Feature::density,        2.0f,   38.6f, { 0.55f,  0.98f,  0.11f, -0.63f, -1.28f}, { 3.07f, -0.49f, -0.42f, -0.80f, -1.10f}},
    {Feature::after,          0.0f,    3.2f, {-0.73f, -0.30f,  0.04f,  0.43f,  0.31f}, { 2.56f,  1.65f,  0.03f, -1.38f, -2.60f}},
    {Feature::repeat,         0.0f,    4.0f, { 0.34f,  0.25f,  0.01f, -0.22f, -0.64f}, {-0.14f,  0.47f,  0.48f,  0.07f, -0.62f}},
    {Feature::rank,          -6.0f,    0.2f, {-3.40f, -1.31f,  0.57f,  1.69f,  2.19f}, {-3.87f, -1.63f,  1.04f,  2.41f,  2.31f}},
}};

constexpr float second_bias = -6.251f;
constexpr std::array<Curve, 9> second_curves{{
    {Feature::rise_850,       0.0f,    4.4f, {-0.71f, -1.01f, -0.58f,  0.46f,  1.92f}, { 1.93f,  0.78f, -0.85f, -1.32f, -0.62f}},
    {Feature::before,        -1.1f,    1.1f, { 0.15f,  0.24f,  0.18f, -0.12f, -0.38f}, {-0.18f, -0.06f, -0.00f,  0.14f,  0.03f}},
    {Feature::density,        2.0f,   38.6f, {-0.08f,  0.52f,  0.19f, -0.13f, -0.43f}, { 4.08f, -0.45f, -0.85f, -1.31f, -1.53f}},
    {Feature::after,          0.0f,    3.2f, {-0.56f, -0.16f,  0.07f,  0.39f,  0.33f}, { 3.10f,  1.90f, -0.03f, -1.77f, -3.26f}},
    {Feature::repeat,         0.0f,    4.0f, { 0.20f,  0.17f,  0.03f, -0.05f, -0.28f}, {-0.04f,  0.50f,  0.44f, -0.07f, -0.91f}},
    {Feature::rank,          -6.0f,    0.2f, { 0.43f,  0.53f,  0.16f, -0.44f, -0.60f}, {-3.67f, -1.50f,  1.04f,  2.18f,  1.89f}},
    {Feature::first,        -10.8f,    1.3f, {-2.30f, -1.15f,  0.31f,  2.05f,  1.16f}, { 1.93f,  1.32f,  0.39f, -1.42f, -2.30f}},
    {Feature::kin_sure,       0.7f,    2.9f, {-1.07f,  0.07f,  0.05f,  0.07f,  0.95f}, { 0.77f,  0.04f, -0.42f, -0.16f, -0.30f}},
    {Feature::kin_level,     -5.6f,    0.7f, {-3.71f, -1.92f,  0.36f,  2.30f,  3.05f}, {-2.88f, -1.68f, -0.03f,  2.10f,  2.42f}},
}};

constexpr float rally_bias = -3.833f;
constexpr std::array<Curve, 2> rally_curves{{
    {Feature::second,       -11.7f,    1.9f, {-5.58f, -3.53f, -0.78f,  2.96f,  5.82f}, {-3.37f, -2.36f, -0.81f,  1.92f,  5.73f}},
    {Feature::rally,          0.0f,    2.0f, {-0.88f, -0.52f, -0.32f, -0.21f,  0.83f}, {-0.33f, -0.39f, -0.27f,  0.17f,  1.92f}},
}};

constexpr float hard_bias = -0.413f;
constexpr std::array<Curve, 1> hard_curves{{
    {Feature::kin_level,     -1.7f,    1.9f, {-1.14f, -0.61f,  0.14f,  0.81f,  0.76f}, {-2.40f, -1.44f,  0.14f,  1.53f,  2.20f}},
}};

// clang-format on

} // namespace

const Models& control_models() {
    static const Models models{{first_bias, first_curves},
                               {second_bias, second_curves},
                               {rally_bias, rally_curves},
                               {hard_bias, hard_curves}};
    return models;
}

} // namespace downball::bench
