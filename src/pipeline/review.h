// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "pipeline/gather.h"
#include "pipeline/song_event.h"

#include "downball/model/cut_plan.h"
#include "downball/model/timeline.h"
#include "downball/model/warning.h"
#include "downball/pipeline/talk.h"
#include "downball/solve/left_out.h"

#include <string>
#include <vector>

namespace downball::pipeline {

// One cut, as far as it is to be looked at.
struct CutToReview {
    const Material& material;
    analysis::Folder& kept; // what was found before
    const SongToCutTo& song;
    const SongFile* song_file = nullptr; // nothing: the song's own file is heard
    const CutPlan& plan;
    const LastCut& as_last; // the same, as the next one will see it
    const Timeline& timeline;
    const std::vector<solve::LeftOut>& left_out;
    std::vector<Warning> warnings;
    std::string movie; // file name of its preview; empty = none
};

struct Review {
    std::string html;
    std::vector<Warning>
        notes; // on pictures that cannot be decoded, where no preview told of them; the page has them
};

// NAME.html as text; without `stills` those that are not known yet are left out. Errors: the song cannot be read, a
// request to stop.
Result<Review> make_review(const CutToReview& cut, bool stills, const Talk& talk);

} // namespace downball::pipeline
