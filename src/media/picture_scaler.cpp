// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "media/picture_scaler.h"

#include <algorithm>
#include <cmath>
#include <tuple>

namespace downball::media {

namespace {

// Of files that do not tell: by size, as players guess (common practice, no source).
int matrix_of(const AVFrame& frame) {
    if (frame.colorspace != AVCOL_SPC_UNSPECIFIED && frame.colorspace != AVCOL_SPC_RGB)
        return frame.colorspace; // numbered as libswscale numbers its matrices
    return frame.width >= 1280 || frame.height > 576 ? SWS_CS_ITU709 : SWS_CS_ITU601;
}

bool full_range(const AVFrame& frame) {
    switch (frame.format) {
    case AV_PIX_FMT_YUVJ420P:
    case AV_PIX_FMT_YUVJ422P:
    case AV_PIX_FMT_YUVJ444P:
    case AV_PIX_FMT_YUVJ440P:
        return true;
    default:
        return frame.color_range == AVCOL_RANGE_JPEG;
    }
}

int even(double length, int most) {
    return std::clamp(static_cast<int>(std::lround(length / 2)) * 2, 2, most);
}

// What is cut off the left and the right, or the top and the bottom, of `length` so that `kept` remains.
std::pair<std::size_t, std::size_t> cut_off(int length, double kept, double centre) {
    const double over = std::max(0.0, length - kept);
    // Whole pairs: so chroma stays where it is.
    const auto before = 2 * static_cast<std::size_t>(std::lround(over * centre / 2));
    const auto all = static_cast<std::size_t>(std::lround(over));
    return {std::min(before, all), all - std::min(before, all)};
}

// One plane, turned clockwise, with its top left corner at (left, top) of `into`.
void turn(const std::uint8_t* from, int stride, int width, int height, int rotation, Picture::Plane into,
          int left, int top) {
    for (int y = 0; y < height; ++y) {
        const auto* row = from + static_cast<std::ptrdiff_t>(y) * stride;
        // Where the row begins in the turned picture, and the step from pixel to pixel.
        const int x0 = rotation == 90    ? height - 1 - y
                       : rotation == 180 ? width - 1
                       : rotation == 270 ? y
                                         : 0;
        const int y0 = rotation == 90    ? 0
                       : rotation == 180 ? height - 1 - y
                       : rotation == 270 ? width - 1
                                         : y;
        const std::ptrdiff_t step = rotation == 90    ? into.width
                                    : rotation == 180 ? -1
                                    : rotation == 270 ? -static_cast<std::ptrdiff_t>(into.width)
                                                      : 1;
        auto* to = into.data + static_cast<std::ptrdiff_t>(top + y0) * into.width + left + x0;
        if (step == 1) {
            std::copy_n(row, width, to);
            continue;
        }
        for (int x = 0; x < width; ++x)
            to[x * step] = row[x];
    }
}

} // namespace

PictureScaler::PictureScaler(const PictureOptions& options, int rotation, AVRational aspect)
    : options_(options), rotation_(rotation), aspect_(aspect) {}

bool PictureScaler::prepare(const AVFrame& from, int width, int height) {
    const int matrix = matrix_of(from), full = full_range(from) ? 1 : 0;
    const bool same = sws_ && scaled_->width == width && scaled_->height == height &&
                      from.width == source_width_ && from.height == source_height_ &&
                      from.format == source_form_ && matrix == source_matrix_ && full == source_full_;
    if (same) return true;
    // A triangle as wide as the step down: no aliasing, no ringing, half the cost of the cubic.
    sws_.reset(sws_getContext(from.width, from.height, static_cast<AVPixelFormat>(from.format), width, height,
                              AV_PIX_FMT_YUV420P, SWS_BILINEAR, nullptr, nullptr, nullptr));
    if (!sws_) return false;
    sws_setColorspaceDetails(sws_.get(), sws_getCoefficients(matrix), full,
                             sws_getCoefficients(SWS_CS_ITU709), 0, 0, 1 << 16, 1 << 16);
    scaled_.reset(av_frame_alloc());
    scaled_->format = AV_PIX_FMT_YUV420P;
    scaled_->width = width;
    scaled_->height = height;
    if (av_frame_get_buffer(scaled_.get(), 0) < 0) return false;
    source_width_ = from.width;
    source_height_ = from.height;
    source_form_ = from.format;
    source_matrix_ = matrix;
    source_full_ = full;
    return true;
}

bool PictureScaler::scale(const AVFrame& from, Picture& into) {
    const bool lying = rotation_ == 90 || rotation_ == 270;
    const auto aspect = aspect_.num > 0 ? aspect_ : from.sample_aspect_ratio;
    const double pixel = aspect.num > 0 && aspect.den > 0 ? av_q2d(aspect) : 1;
    // Size of the source as shown but not yet turned, and the size wanted seen the same way.
    const double source_width = from.width * pixel, source_height = from.height;
    const int width = lying ? options_.height : options_.width,
              height = lying ? options_.width : options_.height;

    const FramePtr source(av_frame_clone(&from));
    if (!source) return false;
    int scaled_width = width, scaled_height = height;
    if (options_.fill) {
        // Turned by 180 or 270 degrees, left and right, or top and bottom, change places.
        const double centre = options_.crop_centre;
        const double across = rotation_ == 180 || rotation_ == 270 ? 1 - centre : centre;
        const double down = rotation_ == 90 || rotation_ == 180 ? 1 - centre : centre;
        std::tie(source->crop_left, source->crop_right) =
            cut_off(from.width, source_height * width / height / pixel, across);
        std::tie(source->crop_top, source->crop_bottom) =
            cut_off(from.height, source_width * height / width, down);
        if (av_frame_apply_cropping(source.get(), AV_FRAME_CROP_UNALIGNED) < 0) return false;
    } else {
        const double by = std::min(width / source_width, height / source_height);
        scaled_width = even(source_width * by, width);
        scaled_height = even(source_height * by, height);
    }
    if (!prepare(*source, scaled_width, scaled_height)) return false;
    if (sws_scale(sws_.get(), source->data, source->linesize, 0, source->height, scaled_->data,
                  scaled_->linesize) != scaled_height)
        return false;

    const int out_width = lying ? scaled_height : scaled_width,
              out_height = lying ? scaled_width : scaled_height;
    const int left = (options_.width - out_width) / 4 * 2, top = (options_.height - out_height) / 4 * 2;
    into = Picture(options_.width, options_.height);
    for (int p = 0; p < 3; ++p) {
        const int part = p == 0 ? 1 : 2;
        turn(scaled_->data[p], scaled_->linesize[p], scaled_width / part, scaled_height / part, rotation_,
             into.plane(p), left / part, top / part);
    }
    return true;
}

} // namespace downball::media
