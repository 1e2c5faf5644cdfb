// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/impacts/control.h"

// Fitted by tests/bench/impacts/fit.cpp (penalised logistic regression, Newton's method) on clips of 8
// to 20 s, seeds from 100000 on: 120 a split with balls made by rule (families `modes` and `thump`), every
// other two over beds of the bank of recorded sounds, 30 a split with its balls, of its `fit` half
// alone; 4722 contacts against 103469 other candidates.

using namespace downball::impacts;

namespace downball::bench {
namespace {

// Feature, its lowest and highest knot, and what it adds to the log-odds at the knots: for faint
// sounds, for clear sounds.
// clang-format off
constexpr float first_bias = -4.793f;
constexpr std::array<Curve, 6> first_curves{{
    {Feature::rise_850,       0.0f,    4.4f, {-1.69f, -1.58f, -0.27f,  0.87f,  2.25f}, { 2.88f,  1.01f, -1.00f, -1.60f, -0.86f}},
    {Feature::before,        -1.1f,    1.1f, { 0.18f,  0.39f, -0.10f, -0.31f, -0.59f}, {-0.16f, -0.09f,  0.14f,  0.24f,  0.29f}},
    {Feature::density,        2.0f,   37.8f, { 0.89f,  0.84f, -0.11f, -0.73f, -1.31f}, { 3.10f, -0.39f, -0.61f, -0.78f, -0.89f}},
    {Feature::after,          0.0f,    3.2f, {-0.74f, -0.16f,  0.03f,  0.29f,  0.16f}, { 2.80f,  1.57f, -0.17f, -1.41f, -2.38f}},
    {Feature::repeat,         0.0f,    4.0f, { 0.36f,  0.24f, -0.06f, -0.35f, -0.61f}, {-0.51f,  0.03f,  0.40f,  0.42f,  0.08f}},
    {Feature::rank,          -6.0f,    0.2f, {-3.31f, -1.47f,  0.52f,  1.83f,  2.00f}, {-3.23f, -1.42f,  0.74f,  2.28f,  2.05f}},
}};

constexpr float second_bias = -5.933f;
constexpr std::array<Curve, 9> second_curves{{
    {Feature::rise_850,       0.0f,    4.4f, {-0.35f, -0.69f, -0.45f,  0.14f,  1.25f}, { 0.93f,  0.51f, -0.40f, -0.82f, -0.11f}},
    {Feature::before,        -1.1f,    1.1f, { 0.09f,  0.28f,  0.14f, -0.09f, -0.52f}, {-0.17f, -0.14f,  0.07f,  0.15f,  0.20f}},
    {Feature::density,        2.0f,   37.8f, { 0.00f,  0.31f,  0.01f, -0.12f, -0.31f}, { 3.46f, -0.29f, -0.80f, -1.08f, -1.19f}},
    {Feature::after,          0.0f,    3.2f, {-0.54f, -0.11f,  0.01f,  0.29f,  0.25f}, { 2.88f,  1.57f, -0.21f, -1.54f, -2.59f}},
    {Feature::repeat,         0.0f,    4.0f, { 0.20f,  0.14f, -0.03f, -0.16f, -0.26f}, {-0.43f, -0.02f,  0.27f,  0.29f, -0.01f}},
    {Feature::rank,          -6.0f,    0.2f, { 0.13f,  0.33f,  0.34f, -0.17f, -0.73f}, {-2.33f, -1.01f,  0.58f,  1.64f,  1.22f}},
    {Feature::first,        -10.9f,    1.3f, {-3.20f, -1.82f, -0.03f,  2.12f,  2.82f}, { 1.41f,  0.91f,  0.17f, -1.12f, -1.28f}},
    {Feature::kin_sure,       0.7f,    2.9f, {-0.84f,  0.08f, -0.13f,  0.40f,  0.39f}, { 0.39f,  0.23f, -0.26f, -0.28f,  0.01f}},
    {Feature::kin_level,     -5.6f,    0.6f, {-3.06f, -1.74f,  0.02f,  1.92f,  2.76f}, {-2.53f, -1.50f, -0.09f,  1.95f,  2.28f}},
}};

constexpr float rally_bias = -3.607f;
constexpr std::array<Curve, 2> rally_curves{{
    {Feature::second,       -11.7f,    1.9f, {-5.44f, -3.59f, -0.96f,  2.76f,  5.84f}, {-2.91f, -2.08f, -0.77f,  1.63f,  5.51f}},
    {Feature::rally,          0.0f,    2.0f, {-1.11f, -0.44f, -0.29f, -0.35f,  0.80f}, {-0.28f, -0.40f, -0.30f,  0.25f,  2.12f}},
}};

constexpr float hard_bias = -0.431f;
constexpr std::array<Curve, 1> hard_curves{{
    {Feature::kin_level,     -1.7f,    1.9f, {-1.25f, -0.54f,  0.25f,  0.65f,  0.68f}, {-2.35f, -1.23f,  0.27f,  1.43f,  2.08f}},
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
