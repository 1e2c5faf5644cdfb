// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/model/heard.h"
#include "downball/pipeline/talk.h"

#include <cstddef>
#include <functional>
#include <string>
#include <vector>

namespace downball::pipeline {

// One part of a job that is done by several processes: every `of`-th clip, from the `number`-th on, both from 1.
struct Shard {
    std::size_t number = 1, of = 1;
};

struct ToAnalyse {
    std::vector<std::string> clips; // files, and folders with all clips below them
    std::string folder;             // where the analysis files go
    Shard shard;
};

struct Analysed {
    std::string clip;
    std::string document;           // the analysis file; empty where none could be kept
    std::vector<std::string> notes; // what could not be listened to
};

// Makes the analysis files that a job with this analysis folder accepts, on all cores; a clip that has one already costs
// no more than a look. `take` gets them in the order of the clips, or the error that a clip met, which stops nothing.
// Errors: a folder that cannot be read, no clips, files that cannot be written, stopped on request.
Result<void> analyse(const ToAnalyse& wanted, const std::function<void(Result<Analysed>)>& take,
                     const Talk& talk);

// The contacts of several clips from a confidence up, on all cores, in the order of the clips, without a folder. A
// `take` that says false ends it.
void find_contacts(const std::vector<std::string>& clips, double floor,
                   const std::function<bool(const std::string& clip, Result<Hearing>)>& take,
                   const Talk& talk);

} // namespace downball::pipeline
