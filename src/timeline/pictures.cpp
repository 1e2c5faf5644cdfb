// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "timeline/pictures.h"

namespace downball::timeline {
namespace {

// Away from this margin, in seconds, two readers agree on the picture whatever arithmetic they use. Where a container
// rounds the times of its pictures, one may go by these and another by the rate.
constexpr double margin_s = 1e-6;

double instant_s(const Showing& shot, std::int64_t k, Fraction speed) {
    const Fraction at = shot.source_in + Fraction(2 * k + 1, 2) * speed;
    return (at / shot.rate.value()).to_double();
}

} // namespace

std::optional<Frame> first_difference(const Showing& shot, const FrameTable& frames, Fraction a, Fraction b) {
    if (a == b) return {};
    if (!frames.constant && frames.shown_s.empty()) return Frame{0};
    const double unsure_s = margin_s + frames.off_s;
    for (std::int64_t k = 0; k < shot.length.n; ++k) {
        const double at_a = instant_s(shot, k, a), at_b = instant_s(shot, k, b);
        const auto lowest = frames.picture_at(std::min(at_a, at_b) - unsure_s);
        const auto highest = frames.picture_at(std::max(at_a, at_b) + unsure_s);
        if (lowest != highest) return Frame{k};
    }
    return {};
}

} // namespace downball::timeline
