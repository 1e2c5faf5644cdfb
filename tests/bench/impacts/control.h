// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "bench/impacts/detector.h"

// The control: downball without the features of a sound's shape. Left out of the tables while it has no
// model: give `find` a function then.
namespace downball::bench {

inline Detector control() {
    return {"control", nullptr};
}

} // namespace downball::bench
