// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "bench/impacts/detector.h"
#include "impacts/curve_model.h"

namespace downball::bench {

// What the control is judged by: how far a sound rises in one band, and its company; of its shape no more than how
// clear it is. Fitted like the tool's own models, on the same clips.
const impacts::Models& control_models();

// Downball without the last judgement, by rallies: the mixed clips play by the flight times that it knows.
Detector without_rallies();

// The control: downball without the features of a sound's shape.
Detector control();

} // namespace downball::bench
