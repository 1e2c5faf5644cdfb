// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "scenario.h"

#include <string>

namespace downball::sample {

// The files a user would have after tagging, and the truth that only tests read.
std::string job_json(const Scenario& scenario);
std::string log_csv(const Scenario& scenario);
std::string truth_json(const Scenario& scenario);

// Players and skills as the log names them: those of the contacts that the take shows inside its in and out.
std::vector<std::string> tagged_players(const Take& take);
std::vector<TakeContact> tagged_contacts(const Take& take);

// What the scenario promises to those who use it; a sentence for each promise broken.
std::vector<std::string> broken_promises(const Scenario& scenario);

} // namespace downball::sample
