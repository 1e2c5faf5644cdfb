// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/analysis/folder.h"
#include "downball/analysis/found.h"

#include <optional>
#include <string>

namespace downball::analysis {

// What was found in a clip as it is kept: everything but its path and name, which are not of the content.
Document clip_document(const std::string& id);
text::JsonObject to_json(const ClipFound& clip);
std::optional<ClipFound> clip_from(const text::Json& found);

// A file's own account of itself, alone.
text::JsonObject media_to_json(const MediaInfo& media);
std::optional<MediaInfo> media_from(const text::Json& found);

} // namespace downball::analysis
