// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/place.h"

#include "pipeline/places.h"

namespace downball::pipeline {

std::string output_path(const job::Job& job, const std::string& ending) {
    return (std::filesystem::path(from_folder(job.folder, job.out)) / (job.name + ending)).string();
}

} // namespace downball::pipeline
