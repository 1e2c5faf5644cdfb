// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "impacts/curve_model.h"

// Fitted by tests/bench/impacts_fit.cpp (penalised logistic regression, Newton's method) on generated
// clips alone: 40 clips of 20 s a split, seeds from 100000 on, balls of the family `modes`; 1895 contacts
// against 32345 other candidates. No recording had a part in it. To fit again:
//   impacts_fit 40 100000 > src/impacts/model.cpp
namespace downball::impacts {
namespace {

// Feature, its lowest and highest knot, and what it adds to the log-odds at the knots.
// clang-format off
constexpr std::array<Curve, feature_count> curves{{
    {Feature::rise_rumble,    0.0f,    3.0f, {-0.054f,  0.159f,  0.072f, -0.029f, -0.147f}},
    {Feature::rise_115,       0.0f,    4.3f, { 0.238f,  0.058f, -0.063f, -0.173f, -0.060f}},
    {Feature::rise_210,       0.0f,    4.6f, {-2.660f, -1.005f,  0.555f,  1.210f,  1.900f}},
    {Feature::rise_420,       0.0f,    3.9f, { 0.100f,  0.256f,  0.213f, -0.264f, -0.305f}},
    {Feature::rise_850,       0.0f,    4.5f, {-0.912f,  0.019f,  0.428f,  0.206f,  0.259f}},
    {Feature::rise_1700,      0.0f,    5.5f, { 0.286f,  0.432f, -0.053f, -0.481f, -0.184f}},
    {Feature::rise_3400,      0.0f,    6.0f, {-3.682f, -1.395f,  0.387f,  1.729f,  2.961f}},
    {Feature::rise_7500,      0.0f,    5.7f, { 2.332f,  1.213f, -0.110f, -1.223f, -2.211f}},
    {Feature::attack,        -0.7f,    2.5f, { 0.030f,  0.210f,  0.498f, -0.004f, -0.734f}},
    {Feature::slap_20,       -9.2f,   -0.0f, { 1.052f,  1.305f,  1.173f,  0.048f, -3.578f}},
    {Feature::slap_60,       -9.2f,    2.6f, { 0.144f,  0.169f, -0.144f, -0.119f, -0.050f}},
    {Feature::slap_200,      -9.2f,    3.7f, { 0.416f,  0.548f,  0.188f, -0.306f, -0.847f}},
    {Feature::body_40,       -9.2f,    1.4f, { 0.070f,  0.147f,  0.188f,  0.036f, -0.441f}},
    {Feature::body_90,       -9.2f,    2.5f, { 0.201f,  0.237f,  0.040f, -0.238f, -0.241f}},
    {Feature::body_200,      -9.2f,    3.2f, { 0.304f,  0.368f,  0.013f, -0.265f, -0.421f}},
    {Feature::balance,      -13.8f,    4.9f, {-0.594f, -0.717f, -0.287f,  1.261f,  0.337f}},
    {Feature::rumble,       -13.8f,    2.2f, { 0.368f,  0.408f,  0.367f, -0.033f, -1.110f}},
    {Feature::low_colour,   -13.8f,    3.2f, { 0.220f,  0.225f,  0.239f,  0.194f, -0.879f}},
    {Feature::slap_colour,   -2.1f,   13.8f, { 0.817f, -0.008f, -0.324f, -0.301f, -0.184f}},
    {Feature::tone,           1.8f,    8.0f, {-0.089f, -0.295f, -0.057f,  0.118f,  0.322f}},
    {Feature::before,        -1.1f,    1.1f, {-0.215f, -0.001f,  0.122f,  0.099f, -0.005f}},
    {Feature::density,        1.6f,   36.0f, { 1.045f,  0.381f, -0.005f, -0.471f, -0.949f}},
    {Feature::comb,           0.0f,    0.3f, { 1.437f,  1.268f,  0.245f, -0.885f, -2.065f}},
    {Feature::echo,           0.0f,    0.4f, { 0.387f, -0.187f, -0.283f, -0.116f,  0.199f}},
    {Feature::rank,          -6.0f,    0.3f, {-2.861f, -1.491f,  0.284f,  1.930f,  2.138f}},
}};
// clang-format on

} // namespace

const CurveModel& fitted_model() {
    static const CurveModel model{-7.101f, curves};
    return model;
}

} // namespace downball::impacts
