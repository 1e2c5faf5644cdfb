// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "preview/open_clip.h"

#include "downball/media/picture_reader.h"
#include "downball/model/timeline.h"
#include "downball/model/warning.h"

#include <condition_variable>
#include <deque>
#include <exception>
#include <mutex>
#include <string>
#include <thread>
#include <vector>

namespace downball::preview {

// Of a system that starts no more of them.
Error no_thread(const std::exception& problem);

// The pictures of a timeline, record frame after record frame, decoded ahead by threads of its own, an event each. So
// many are held at most, whatever the length; what comes does not depend on the number of threads.
class PictureFeed {
  public:
    PictureFeed(const Timeline& timeline, const media::PictureOptions& form);
    PictureFeed(const PictureFeed&) = delete;
    PictureFeed& operator=(const PictureFeed&) = delete;
    ~PictureFeed();

    // So many more threads. Errors: the system gives none; then there will be no picture.
    Result<void> start(unsigned threads);
    media::Picture next();
    // Of what could not be decoded, an event each with its place, once all pictures were taken. Ends the threads.
    std::vector<Warning> notes();
    // Pictures that are ready.
    std::size_t held() const;

    // Pictures that may be ready, never more than one above: 256 of 640 x 360, which are 90 MB, fewer of larger ones.
    std::size_t most_held() const { return most_held_; }

  private:
    struct Event {
        std::deque<media::Picture> ready;
        std::string note;
    };
    void end();
    void work();
    void read(std::size_t index, OpenClip& clip);
    bool put(std::size_t index, const media::Picture& picture);

    const Timeline& timeline_;
    media::PictureOptions form_;
    std::size_t most_held_;
    mutable std::mutex mutex_;
    std::condition_variable room_, filled_;
    std::vector<Event> events_;
    std::size_t begun_ = 0, showing_ = 0; // events: given to a thread; being taken from
    std::int64_t taken_ = 0;              // pictures of the event that is being taken from
    std::size_t held_ = 0;                // pictures ready, of all events
    bool stopped_ = false;
    std::vector<std::jthread> threads_;
};

} // namespace downball::preview
