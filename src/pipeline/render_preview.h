// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/files/files.h"
#include "downball/model/preview_form.h"
#include "downball/model/timeline.h"
#include "downball/pipeline/talk.h"
#include "downball/preview/preview.h"

#include <optional>
#include <string>

namespace downball::pipeline {

struct PreviewFile {
    std::string path, hash;
    preview::Made made;
};

// The preview of a timeline as one more file of `outputs`, which will stand at `path`. `song_bytes`: of the song as
// cut, whose file does not stand yet.
Result<PreviewFile> render_preview(const Timeline& timeline, const std::string& path, const PreviewForm& form,
                                   const std::string* song_bytes, files::OutputSet& outputs,
                                   const Talk& talk);

} // namespace downball::pipeline
