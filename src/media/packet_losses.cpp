// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "media/packet_losses.h"

#include <algorithm>
#include <fmt/format.h>

namespace downball::media {

void PacketLosses::add(double from_s, double to_s, std::string why) {
    if (packets_ == 0) {
        from_s_ = from_s;
        to_s_ = to_s;
        why_ = std::move(why);
    }
    ++packets_;
    to_s_ = std::max(to_s_, to_s);
}

void PacketLosses::close_place(double zero_s) {
    if (packets_ == 0) return;
    any_ = true;
    note(fmt::format("{:.3f} s to {:.3f} s: {} sound packet{} could not be decoded ({}), silence instead",
                     from_s_ - zero_s, to_s_ - zero_s, packets_, packets_ == 1 ? "" : "s", why_));
    told_to_s_ = std::max(told_to_s_, to_s_);
    packets_ = 0;
}

void PacketLosses::gap(double from_s, double to_s, double zero_s) {
    // Less than a packet is rounding; behind lost ones the decoder keeps back one or two more.
    const double least_s = told_to_s_ >= from_s ? 0.050 : 0.010;
    from_s = std::max({from_s, told_to_s_, zero_s});
    if (to_s - from_s < least_s) return;
    any_ = true;
    note(fmt::format("{:.3f} s to {:.3f} s: the file holds no sound here, silence instead", from_s - zero_s,
                     to_s - zero_s));
    told_to_s_ = to_s;
}

void PacketLosses::note(std::string text) {
    if (notes_.size() < most_notes)
        notes_.push_back(std::move(text));
    else
        ++unsaid_;
}

void PacketLosses::finish(double zero_s) {
    close_place(zero_s);
    if (unsaid_ > 0) notes_.push_back(fmt::format("and {} more such places", unsaid_));
    unsaid_ = 0;
}

} // namespace downball::media
