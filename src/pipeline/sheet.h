// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "pipeline/gather.h"

#include "downball/model/cut_plan.h"
#include "downball/model/timeline.h"
#include "downball/preview/contact_sheet.h"

namespace downball::pipeline {

// What the contact sheet of a cut says and shows: of each shot its first contact on the beat, or the middle of one
// without; the skill of that contact, or the kind of shot; players by name where the roster has one.
preview::SheetTexts sheet_texts(const Material& material, const CutPlan& plan, const Timeline& timeline);

} // namespace downball::pipeline
