// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/impacts/control.h"

// Fitted by tests/bench/impacts/fit.cpp (penalised logistic regression, Newton's method) on clips of 8
// to 20 s, seeds from 100000 on: 120 a split with balls made by rule (families `modes` and `thump`), 30 a
// split with the `fit` half of the bank of recorded sounds; 4999 contacts against 90013 other candidates.

using namespace downball::impacts;

namespace downball::bench {
namespace {

// Feature, its lowest and highest knot, and what it adds to the log-odds at the knots: for faint
// sounds, for clear sounds.
// clang-format off
constexpr float first_bias = -4.561f;
constexpr std::array<Curve, 6> first_curves{{
    {Feature::rise_850,       0.0f,    4.8f, {-2.31f, -1.56f,  0.01f,  1.37f,  2.40f}, { 2.47f,  0.46f, -1.10f, -1.35f, -0.39f}},
    {Feature::before,        -1.1f,    1.1f, { 0.30f,  0.49f, -0.04f, -0.39f, -0.45f}, {-0.22f, -0.25f,  0.02f,  0.21f,  0.34f}},
    {Feature::density,        1.7f,   36.2f, { 0.88f,  0.88f, -0.23f, -0.82f, -0.80f}, { 2.86f, -0.57f, -0.65f, -0.75f, -0.79f}},
    {Feature::after,          0.0f,    3.1f, {-0.39f, -0.14f, -0.00f,  0.15f,  0.29f}, { 2.29f,  1.29f, -0.13f, -1.22f, -2.14f}},
    {Feature::repeat,         0.0f,    4.0f, { 0.37f,  0.23f, -0.06f, -0.25f, -0.38f}, {-0.19f,  0.31f,  0.34f,  0.03f, -0.41f}},
    {Feature::rank,          -6.0f,    0.3f, {-2.95f, -1.03f,  0.69f,  1.62f,  1.57f}, {-3.63f, -1.67f,  0.74f,  2.45f,  2.21f}},
}};

constexpr float second_bias = -5.579f;
constexpr std::array<Curve, 9> second_curves{{
    {Feature::rise_850,       0.0f,    4.8f, {-0.74f, -0.77f, -0.35f,  0.55f,  1.39f}, { 0.54f,  0.16f, -0.38f, -0.57f,  0.18f}},
    {Feature::before,        -1.1f,    1.1f, { 0.12f,  0.33f,  0.17f, -0.15f, -0.39f}, {-0.16f, -0.22f, -0.00f,  0.12f,  0.20f}},
    {Feature::density,        1.7f,   36.2f, { 0.20f,  0.40f, -0.10f, -0.30f, -0.13f}, { 2.85f, -0.33f, -0.69f, -0.92f, -0.97f}},
    {Feature::after,          0.0f,    3.1f, {-0.29f, -0.10f,  0.01f,  0.15f,  0.32f}, { 2.20f,  1.19f, -0.15f, -1.19f, -2.12f}},
    {Feature::repeat,         0.0f,    4.0f, { 0.17f,  0.15f,  0.00f, -0.09f, -0.16f}, {-0.06f,  0.25f,  0.24f, -0.07f, -0.43f}},
    {Feature::rank,          -6.0f,    0.3f, { 0.33f,  0.49f,  0.28f, -0.26f, -0.77f}, {-2.32f, -1.00f,  0.60f,  1.54f,  1.10f}},
    {Feature::first,        -10.1f,    1.5f, {-2.99f, -1.67f,  0.01f,  2.06f,  2.66f}, { 1.37f,  0.78f, -0.03f, -1.32f, -0.87f}},
    {Feature::kin_sure,       0.7f,    2.9f, {-0.73f,  0.17f,  0.14f,  0.57f, -0.07f}, { 0.62f, -0.08f, -0.47f, -0.18f,  0.04f}},
    {Feature::kin_level,     -5.6f,    0.7f, {-2.94f, -1.51f,  0.29f,  1.80f,  2.44f}, {-3.01f, -1.82f, -0.16f,  2.26f,  2.66f}},
}};

constexpr float rally_bias = -3.239f;
constexpr std::array<Curve, 2> rally_curves{{
    {Feature::second,       -10.9f,    2.2f, {-5.60f, -3.55f, -0.71f,  2.86f,  5.73f}, {-3.12f, -2.17f, -0.71f,  1.79f,  5.47f}},
    {Feature::rally,          0.0f,    2.1f, {-1.13f, -0.49f, -0.56f, -0.13f,  1.05f}, {-0.43f, -0.57f, -0.34f,  0.47f,  2.14f}},
}};

constexpr float hard_bias = -0.455f;
constexpr std::array<Curve, 1> hard_curves{{
    {Feature::kin_level,     -1.7f,    1.9f, {-1.04f, -0.29f,  0.64f,  0.56f,  0.29f}, {-2.40f, -1.40f,  0.21f,  1.48f,  1.95f}},
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
