// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/base/result.h"
#include "downball/media/picture.h"
#include "downball/time/rate.h"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace downball::media {

// Where key pictures lie in files without an index whose clock may jump, as transport and program streams. Finding
// them takes a read of the whole file; readers that share these tables read each file so but once.
class KeyTables;
std::shared_ptr<KeyTables> make_key_tables(); // for any number of threads

struct PictureOptions {
    int width = 640, height = 360; // of the pictures that come out, even
    // false: the whole picture, black beside it; true: the whole of the frame is filled, and what is over on the
    // longer side is cut off around `crop_centre`, 0 = left or top, 1 = right or bottom.
    bool fill = false;
    double crop_centre = 0.5;
    // Of the file, as probed, if it is constant: then hardly more is decoded than is wanted.
    std::optional<Rate> rate;
    int threads = 1; // of the decoder
    std::shared_ptr<KeyTables> key_tables = {};
};

// A clip's pictures at wanted instants, turned upright, with square pixels, scaled. Reading begins at the key
// picture before what is wanted, so that a late instant of a long file is near; what lies between wanted pictures
// is decoded only where others need it.
class PictureReader {
  public:
    static Result<PictureReader> open(const std::string& path, const PictureOptions& options = {});
    PictureReader(PictureReader&&) noexcept;
    PictureReader& operator=(PictureReader&&) noexcept;
    ~PictureReader();

    // The last picture presented at or before that media second, by the times that the file gives; the first one
    // before zero, the last one past the end. FrameTable::picture_at says the same but where a container rounds the
    // times of a constant rate, as Matroska does, and an instant falls between the two. Any order works, growing seconds are quick. Valid until the next
    // call. Errors name file and second: that picture cannot be decoded; later ones may well be.
    Result<const Picture*> picture_at(Fraction media_s);
    // Says what will be asked next, growing, so that no more than that need be decoded. Asking for something else
    // is allowed, and slow. Without a rate it changes nothing.
    void expect(const std::vector<Fraction>& media_s);

  private:
    struct State;
    explicit PictureReader(std::unique_ptr<State> state);
    std::unique_ptr<State> state_;
};

} // namespace downball::media
