// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/read/cut_list.h"

#include <vector>

namespace downball::read {

using TrackEvents = std::vector<const ListedEvent*>;

// The events of each track of the list, which must outlive them, by record in; those that begin together as listed.
std::vector<TrackEvents> by_track(const CutList& list);

} // namespace downball::read
