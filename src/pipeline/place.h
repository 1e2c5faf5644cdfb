// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/files/files.h"
#include "downball/job/job.h"

#include <filesystem>
#include <optional>
#include <string>

namespace downball::pipeline {

// Where an output of the job stands, ".edl" and so on.
std::string output_path(const job::Job& job, const std::string& ending);

// Where a run writes: a folder that goes again if it was made for nothing, and in it the files.
class Place {
  public:
    Place() = default;
    Place(const Place&) = delete;
    Place& operator=(const Place&) = delete;
    ~Place() {
        outputs.reset();
        if (std::error_code ignored; !ours_.empty())
            std::filesystem::remove(ours_, ignored); // unless something is in it
    }
    Result<void> make(const std::string& folder) {
        if (std::error_code ignored; !std::filesystem::exists(folder, ignored)) ours_ = folder;
        return files::make_folder(folder);
    }
    std::optional<files::OutputSet> outputs{std::in_place};

  private:
    std::string ours_;
};

} // namespace downball::pipeline
