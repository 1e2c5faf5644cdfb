// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "media/sample_queue.h"

#include "downball/base/result.h"

#include <string>
#include <vector>

namespace downball::media {

// What AudioReader draws samples from, whichever library decodes them.
class SoundSource {
  public:
    virtual ~SoundSource() = default;
    virtual int rate_hz() const = 0;
    virtual int channels() const = 0;
    virtual double first_s() const = 0; // media seconds of the first sample
    // Appends some samples, at most a packet or 65536; false at the end.
    virtual Result<bool> fill(SampleQueue& queue) = 0;
    virtual const std::vector<std::string>& notes() const = 0;
    virtual bool lossy() const = 0;     // at the end: some of the sound was lost
    virtual bool broke_off() const = 0; // reading the file failed, so that what came ended early
};

} // namespace downball::media
