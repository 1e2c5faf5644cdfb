// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "pipeline/gather.h"
#include "pipeline/last_cut.h"
#include "pipeline/song_event.h"

#include "downball/write/report.h"

#include <optional>
#include <string>

namespace downball::pipeline {

// An edited list and the material as it asks for it: its shots locked, what was taken out banned.
struct TakenBack {
    Material material;
    LastCut cut;          // to stay near to
    write::FromList from; // for the report
};

// `last`: of the run whose list was edited, or of one that took this very list back before; then what counts as taken
// out is what did so then. Locks of the job itself stand above the list. Errors: unreadable, no list, not of this job.
Result<TakenBack> take_back(const Material& material, const SongToCutTo& song, const std::string& path,
                            const std::optional<LastRun>& last);

// A conflict names each place that the list holds; more than a few are told as one.
void tell_places_together(Conflict& conflict, const std::string& path);

} // namespace downball::pipeline
