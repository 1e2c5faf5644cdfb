// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "media/convert_picture.h"

namespace downball::media {

FramePtr convert_picture(const Picture& picture, AVPixelFormat to) {
    const int width = picture.width, height = picture.height;
    FramePtr frame(av_frame_alloc());
    const SwsPtr sws(sws_getContext(width, height, AV_PIX_FMT_YUV420P, width, height, to,
                                    SWS_BILINEAR | SWS_ACCURATE_RND | SWS_FULL_CHR_H_INT | SWS_BITEXACT,
                                    nullptr, nullptr, nullptr));
    if (!frame || !sws) return nullptr;
    frame->width = width;
    frame->height = height;
    frame->format = to;
    if (av_frame_get_buffer(frame.get(), 0) < 0) return nullptr;
    sws_setColorspaceDetails(sws.get(), sws_getCoefficients(SWS_CS_ITU709), 0,
                             sws_getCoefficients(SWS_CS_ITU601), 1, 0, 1 << 16, 1 << 16);
    const std::uint8_t* planes[3];
    int strides[3];
    for (int p = 0; p < 3; ++p) {
        const auto plane = picture.plane(p);
        planes[p] = plane.data;
        strides[p] = plane.width;
    }
    const int rows = sws_scale(sws.get(), planes, strides, 0, height, frame->data, frame->linesize);
    return rows == height ? std::move(frame) : nullptr;
}

} // namespace downball::media
