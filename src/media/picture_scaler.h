// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "media/ffmpeg.h"

#include "downball/media/picture_reader.h"

namespace downball::media {

// Decoded pictures of any form into those that PictureOptions ask for.
class PictureScaler {
  public:
    // `rotation`: degrees clockwise to turn them, 0, 90, 180, 270; `aspect`: width of a pixel over its height, 0 where
    // each picture has to tell.
    PictureScaler(const PictureOptions& options, int rotation, AVRational aspect);

    // False where the form cannot be converted.
    bool scale(const AVFrame& from, Picture& into);

  private:
    bool prepare(const AVFrame& from, int width, int height);

    PictureOptions options_;
    int rotation_;
    AVRational aspect_;
    SwsPtr sws_;
    int source_width_ = 0, source_height_ = 0, source_form_ = -1, source_matrix_ = -1, source_full_ = -1;
    FramePtr scaled_;
};

} // namespace downball::media
