// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/model/timeline.h"

#include <optional>
#include <string>
#include <utility>

namespace downball::write {

struct OtioOptions {
    std::string folder;         // absolute; relative target_urls start here
    bool absolute_urls = false; // file:///... instead
    std::optional<std::pair<std::string, std::string>> media_root; // {from, to} prefix rewritten
};

// The timeline as OpenTimelineIO JSON, with only the object versions named in schemas/otio.schema.json.
Result<std::string> otio(const Timeline& timeline, const OtioOptions& options);

} // namespace downball::write
