// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/impacts/control.h"

// Fitted by tests/bench/impacts/fit.cpp (penalised logistic regression, Newton's method) on clips of 8
// to 20 s, seeds from 100000 on: 360 a split with balls made by rule (families `modes` and `thump`), every
// other two over beds of the bank of recorded sounds, 50 a split with its balls, of its `fit` half
// alone; 13328 contacts against 273916 other candidates.

using namespace downball::impacts;

namespace downball::bench {
namespace {

// Feature, its lowest and highest knot, and what it adds to the log-odds at the knots: for faint
// sounds, for clear sounds.
// clang-format off
constexpr float first_bias = -4.352f;
constexpr std::array<Curve, 6> first_curves{{
    {Feature::rise_850,       0.0f,    4.3f, {-1.17f, -0.85f,  0.27f,  0.59f,  0.54f}, { 3.11f,  0.94f, -0.89f, -1.56f, -1.00f}},
    {Feature::before,        -1.1f,    1.1f, { 0.10f,  0.17f, -0.31f, -0.34f, -0.23f}, {-0.20f, -0.06f,  0.15f,  0.47f,  0.26f}},
    {Feature::density,        2.0f,   38.4f, { 0.59f,  0.68f, -0.21f, -0.68f, -0.99f}, { 2.73f, -0.41f, -0.45f, -0.66f, -0.60f}},
    {Feature::after,          0.0f,    3.1f, {-0.43f, -0.33f, -0.15f,  0.02f,  0.28f}, { 2.57f,  2.06f,  0.53f, -1.40f, -3.15f}},
    {Feature::repeat,         0.0f,    4.0f, { 0.11f, -0.05f, -0.19f, -0.17f, -0.31f}, {-0.05f,  0.55f,  0.47f,  0.10f, -0.45f}},
    {Feature::rank,          -6.0f,    0.2f, {-2.52f, -0.76f,  0.42f,  0.97f,  1.26f}, {-2.88f, -0.73f,  0.83f,  1.69f,  1.70f}},
}};

constexpr float second_bias = -5.731f;
constexpr std::array<Curve, 9> second_curves{{
    {Feature::rise_850,       0.0f,    4.3f, {-0.05f, -0.26f, -0.10f,  0.08f,  0.22f}, { 1.47f,  0.77f, -0.36f, -1.19f, -0.59f}},
    {Feature::before,        -1.1f,    1.1f, { 0.13f,  0.16f, -0.02f, -0.17f, -0.20f}, {-0.32f, -0.13f,  0.04f,  0.42f,  0.11f}},
    {Feature::density,        2.0f,   38.4f, { 0.09f,  0.28f, -0.02f, -0.18f, -0.28f}, { 4.22f, -0.10f, -0.99f, -1.52f, -1.49f}},
    {Feature::after,          0.0f,    3.1f, {-0.37f, -0.16f, -0.01f,  0.11f,  0.31f}, { 3.40f,  2.52f,  0.50f, -2.04f, -4.26f}},
    {Feature::repeat,         0.0f,    4.0f, { 0.03f,  0.01f, -0.08f, -0.02f, -0.06f}, { 0.05f,  0.61f,  0.45f, -0.08f, -0.92f}},
    {Feature::rank,          -6.0f,    0.2f, { 0.79f,  0.47f, -0.12f, -0.60f, -0.66f}, {-2.95f, -0.71f,  0.89f,  1.64f,  1.25f}},
    {Feature::first,         -8.9f,    1.2f, {-1.92f, -0.84f,  0.78f,  1.87f, -0.01f}, { 2.70f,  1.79f,  0.38f, -1.97f, -2.79f}},
    {Feature::kin_sure,       0.8f,    2.8f, {-0.48f, -0.04f, -0.00f,  0.21f,  0.21f}, { 0.71f, -0.03f, -0.26f,  0.06f, -0.36f}},
    {Feature::kin_level,     -5.4f,    0.7f, {-3.06f, -1.22f,  0.50f,  1.64f,  2.02f}, {-2.59f, -1.26f,  0.24f,  1.53f,  2.19f}},
}};

constexpr float rally_bias = -3.284f;
constexpr std::array<Curve, 2> rally_curves{{
    {Feature::second,        -9.5f,    1.8f, {-5.26f, -3.00f, -0.15f,  2.92f,  4.89f}, {-3.62f, -2.39f, -0.59f,  1.98f,  5.22f}},
    {Feature::rally,          0.0f,    2.1f, {-0.55f, -0.42f, -0.41f, -0.31f,  1.09f}, {-0.69f, -0.63f, -0.24f,  0.23f,  1.92f}},
}};

constexpr float hard_bias = -0.637f;
constexpr std::array<Curve, 1> hard_curves{{
    {Feature::kin_level,     -2.2f,    2.2f, {-2.11f, -0.62f,  0.49f,  1.18f,  1.21f}, {-3.20f, -1.71f,  0.11f,  1.93f,  2.72f}},
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
