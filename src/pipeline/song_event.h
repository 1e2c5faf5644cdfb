// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "pipeline/gather.h"

#include "downball/base/result.h"
#include "downball/model/song_cut.h"
#include "downball/pipeline/cut.h"
#include "downball/write/report.h"

#include <optional>
#include <string>
#include <vector>

namespace downball::pipeline {

// The song that a cut is solved to. With SongEvent::cut its clock is that of the song as cut, which begins
// with the record; else that of the song's own file.
struct SongToCutTo {
    BeatGrid beats;
    double start_s = 0;         // on that clock, at record start
    std::optional<SongCut> cut; // nothing: the song's own file
    std::vector<std::string> notes;
};

// Decides what of the song is heard. A start in the song's own file is rounded to a whole list frame here, ahead
// of the solve. Errors: --song original where the job asks for a jump (Fault::usage); a start past the end.
Result<SongToCutTo> choose_song(const Material& material, SongEvent event);

// The file of the song as cut, as long as the record, and how the lists and the report speak of it.
struct SongFile {
    std::string path; // as an output of the job
    std::string bytes;
    MediaInfo media;
    write::SongAsCut told;
    std::vector<float> peaks; // of what is heard, for drawing
    std::vector<std::string> notes;
};

std::string song_file_path(const job::Job& job);
// Its bytes are those of the file that stands there, if it is the same.
Result<SongFile> make_song_file(const Material& material, const SongCut& cut, Frame length,
                                analysis::Folder& kept, const Talk& talk);

} // namespace downball::pipeline
