// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "impacts/curve_model.h"
#include "impacts/pick.h"

#include "downball/impacts/impact_finder.h"
#include "downball/model/heard.h"

#include <vector>

namespace downball::impacts {

// From all scored candidates of a clip, in order, to its contacts: close ones are one, each is weighed by its
// rally, and the floor is applied.
std::vector<Heard> contacts_of(const std::vector<Scored>& scored, const Models& models,
                               const ImpactOptions& options);

} // namespace downball::impacts
