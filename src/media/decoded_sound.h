// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "media/packet_source.h"
#include "media/sound_source.h"

#include <memory>
#include <optional>

namespace downball::media {

// The sound of a source none of it was taken from yet, through FFmpeg. `zero_s` is the container time
// of the media's zero; without it, zero is the first presented sample. Decodes up to the first sample, so
// that rate, channels and first_s are those that come out, not those of the header (HE-AAC states half its
// rate).
struct OpenedSound {
    std::unique_ptr<SoundSource> source;
    double begins_s = 0; // container seconds of the first sample
};
Result<OpenedSound> open_decoded_sound(std::shared_ptr<PacketSource> source, std::optional<double> zero_s);

} // namespace downball::media
