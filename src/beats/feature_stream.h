// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "beats/song_features.h"

#include "downball/base/result.h"
#include "downball/dsp/block.h"

#include <memory>

namespace downball::beats {

// Samples in, SongFeatures out. Any rate: the work is done at a whole fraction of it near 22 kHz. The result
// does not depend on the sizes of the blocks, bit for bit.
class FeatureStream {
  public:
    FeatureStream(int rate_hz, int channels);
    FeatureStream(FeatureStream&&) noexcept;
    FeatureStream& operator=(FeatureStream&&) noexcept;
    ~FeatureStream();

    Result<void> push(const dsp::PlanarBlock& block);
    SongFeatures finish();

  private:
    struct State;
    std::unique_ptr<State> state_;
};

} // namespace downball::beats
