// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/model/media_info.h"
#include "downball/model/timeline.h"

#include <string>
#include <vector>

namespace downball::timeline {

// Files as the lists name them, with what is worth telling about their start labels.
class MediaTable {
  public:
    MediaTable(Rate rate, Counting counting, std::string folder)
        : rate_(rate), counting_(counting), folder_(std::move(folder)) {}

    // Index of the entry made. Relative paths are taken from the working folder given.
    std::size_t add(const MediaInfo& info, const std::string& reel);

    std::vector<TimelineMedia> entries;

    std::vector<std::string> notes() const;

  private:
    void look_at_start(const MediaInfo& info, const TimelineMedia& entry);

    Rate rate_;
    Counting counting_;
    std::string folder_;
    std::vector<std::string> relabelled_;
};

} // namespace downball::timeline
