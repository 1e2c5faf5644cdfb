// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "media/input.h"
#include "media/sound_source.h"

#include <memory>
#include <optional>

namespace downball::media {

// The first sound track of an input nothing was read from yet, through FFmpeg. `zero_s` is the container time
// of the media's zero; without it, zero is the first presented sample. Decodes up to the first sample, so
// that rate, channels and first_s are those that come out, not those of the header (HE-AAC states half its
// rate).
struct OpenedSound {
    std::unique_ptr<SoundSource> source;
    double zero_s = 0; // container seconds of the media's zero
};
Result<OpenedSound> open_decoded_sound(Input input, std::optional<double> zero_s);

} // namespace downball::media
