// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/long_work.h"
#include "downball/job/job.h"
#include "downball/model/shot_log.h"

namespace downball::pipeline {

// Numbers the contacts of each moment that several files show (Impact::event), where the cameras' clocks, given by
// the job or found by what they heard, tell which is which. Else they keep none, and skills alone tell. A stop that
// was asked for leaves them without.
void number_contacts(ShotLog& log, const job::Job& job, const LongWork& work);

} // namespace downball::pipeline
