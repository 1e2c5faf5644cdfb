// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/job/job.h"
#include "downball/text/json.h"

#include <span>
#include <string>
#include <utility>
#include <vector>

namespace downball::job {

// What makes no sense although each value alone fits the schema: all of it is told at once.
class Complaints {
  public:
    void add(std::string place, std::string what) { all_.emplace_back(std::move(place), std::move(what)); }
    bool any() const { return !all_.empty(); }
    // "PATH /place" where there is one complaint, else a line each with its place.
    Error error(const std::string& path) const;

  private:
    std::vector<std::pair<std::string, std::string>> all_;
};

// Values of a job against each other.
void check_sense(const Job& job, Complaints& complaints);

// Label of the first picture where the job says none. An hour is common practice, no source; it leaves room
// for a leader.
inline constexpr const char* first_label = "01:00:00:00";

// The outputs are called NAME.edl and so on, on whatever system they are copied to.
bool fits_file_names(const std::string& name);

// The sentence about a rate that has no labels, with those that have.
std::string no_timecode(Rate rate);

// A label of the cut's own timecode; ';' before the frames is refused unless the cut counts in drop frame.
Result<Frame> label_in(const text::Json& label, const Delivery& delivery);

// The soft terms by the names they have in job.json.
std::span<const std::pair<const char*, double Weights::*>> weight_names();

} // namespace downball::job
