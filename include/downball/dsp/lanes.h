// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstddef>
#include <cstdint>
#include <cstring>

namespace downball::dsp {

// Four floats worked on at once, by the vector extension that g++ and clang share: on every processor, and to the
// same bits as one by one wherever products are not fused with sums.
inline constexpr std::size_t lane_count = 4;
using Lanes = float __attribute__((vector_size(16)));
using LaneMasks = std::int32_t __attribute__((vector_size(16))); // of a comparison: all bits or none

inline Lanes load_lanes(const float* from) {
    Lanes to;
    std::memcpy(&to, from, sizeof to);
    return to;
}
inline void store_lanes(Lanes from, float* to) {
    std::memcpy(to, &from, sizeof from);
}
inline Lanes all_lanes(float value) {
    return Lanes{value, value, value, value};
}
// The value where the mask is set, else 0.
inline Lanes masked(LaneMasks mask, Lanes value) {
    return reinterpret_cast<Lanes>(mask & reinterpret_cast<LaneMasks>(value));
}

} // namespace downball::dsp
