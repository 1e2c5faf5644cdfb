// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "media/input.h"
#include "media/key_tables.h"
#include "media/steady_clock.h"

#include <cstdint>
#include <set>
#include <string>
#include <vector>

namespace downball::media {

// The picture track of a file, decoded from the key picture before what is wanted. Ticks are those of the track's
// time base, counted from the file's first picture.
class PictureDecoder {
  public:
    // `known` may be null.
    static Result<PictureDecoder> open(const std::string& path, int threads, KeyTables* known = nullptr);

    AVRational base() const { return track_->time_base; }
    const AVStream* track() const { return track_; }
    // Width of a pixel over its height, as the container says, else as the stream does; 0 where neither tells.
    AVRational aspect() const { return av_guess_sample_aspect_ratio(input_.format.get(), track_, nullptr); }

    // A picture that is wanted is presented from `from` to `to`.
    struct Window {
        std::int64_t from, to;
    };
    // The last picture presented at or before `tick`; the first one if there is none. One that is shown at or
    // after `sure_from` is known to be the last, without a look at the next. Valid until the next call. Null where
    // the picture cannot be decoded; why() tells.
    const AVFrame* at(std::int64_t tick, std::int64_t sure_from);
    // Pictures in none of these windows, which grow, are decoded only where others need them.
    void expect(std::vector<Window> windows) { windows_ = std::move(windows); }
    // Pictures no other refers to are not deblocked: it costs a tenth, and much smaller nobody sees it.
    void spare_deblocking() { codec_->skip_loop_filter = AVDISCARD_NONREF; }
    const std::string& why() const { return why_; }

  private:
    PictureDecoder(Input input, AVStream* track, CodecPtr codec, std::int64_t zero);

    std::shared_ptr<const KeyTable> find_keys();
    bool worth_seeking(std::int64_t tick) const;
    void seek(std::int64_t tick);
    bool seek_byte(std::int64_t tick);
    bool read_key(std::int64_t tick, std::int64_t& earlier);
    void rewind();
    void forget();

    const AVFrame* look(std::int64_t tick, std::int64_t sure_from);
    bool needless(std::int64_t at) const;
    bool read();
    void feed();
    bool decode(FramePtr& into);
    void lose(int code);
    std::int64_t shown(const AVFrame& frame) const { return frame.pts - zero_; }

    Input input_;
    AVStream* track_;
    CodecPtr codec_;
    SteadyClock clock_;
    std::int64_t zero_; // container ticks of the first picture
    std::shared_ptr<const KeyTable> table_{std::make_shared<KeyTable>()}; // of a file whose clock may jump
    std::int64_t count_ = 0;                                              // pictures, where they are counted
    PacketPtr packet_;
    bool have_packet_ = false;         // read, not yet given to the decoder
    std::int64_t read_to_ = INT64_MIN; // decoding time of the packet read last
    std::set<std::int64_t> due_;       // pictures given to the decoder and not yet passed
    FramePtr current_, ahead_;
    std::vector<Window> windows_;
    std::set<std::int64_t> passed_over_; // pictures left out, and not yet passed
    bool displaced_ = false;             // packets were read that nothing was decoded of
    bool draining_ = false, ended_ = false, lost_ = false;
    int errors_draining_ = 0;
    std::string why_;
};

} // namespace downball::media
