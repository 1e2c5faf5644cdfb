// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "scenario.h"
#include "synth.h"

#include "downball/base/result.h"

#include <span>
#include <string>

namespace downball::sample {

Result<void> write_text(const std::string& path, const std::string& text);
// 16-bit PCM, 48 kHz. One channel if `right` is empty.
Result<void> write_wav(const std::string& path, std::span<const float> left, std::span<const float> right);

} // namespace downball::sample
