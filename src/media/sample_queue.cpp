// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "media/sample_queue.h"

#include <algorithm>

namespace downball::media {

void SampleQueue::drop_taken() {
    if (taken_ == 0) return;
    for (auto& plane : planes_)
        plane.erase(plane.begin(), plane.begin() + static_cast<std::ptrdiff_t>(taken_));
    taken_ = 0;
}

void SampleQueue::append(const float* const* planes, std::size_t from, std::size_t frames) {
    if (frames == 0) return;
    drop_taken();
    for (std::size_t c = 0; c < planes_.size(); ++c)
        planes_[c].insert(planes_[c].end(), planes[c] + from, planes[c] + from + frames);
}

void SampleQueue::append_interleaved(const float* samples, std::size_t frames) {
    drop_taken();
    const auto channels = planes_.size();
    for (std::size_t c = 0; c < channels; ++c)
        for (std::size_t i = 0; i < frames; ++i)
            planes_[c].push_back(samples[i * channels + c]);
}

void SampleQueue::append_silence(std::size_t frames) {
    drop_taken();
    for (auto& plane : planes_)
        plane.resize(plane.size() + frames, 0.0f);
}

dsp::PlanarBlock SampleQueue::take(std::size_t frames) {
    const auto count = std::min(frames, size());
    for (std::size_t c = 0; c < planes_.size(); ++c)
        heads_[c] = planes_[c].data() + taken_;
    taken_ += count;
    return {heads_, count};
}

} // namespace downball::media
