// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "preview/picture_feed.h"

#include "preview/shown.h"
#include "preview/slate.h"

#include <algorithm>
#include <fmt/format.h>
#include <optional>

namespace downball::preview {

namespace {

// Enough for decoding to run ahead of a picture that takes long, and no more memory than small ones take.
std::size_t most_of(const media::PictureOptions& form) {
    constexpr std::size_t most = 256, fewest = 16, usual = 640 * 360;
    const auto pixels = static_cast<std::size_t>(form.width) * static_cast<std::size_t>(form.height);
    return std::clamp(most * usual / std::max<std::size_t>(pixels, 1), fewest, most);
}

} // namespace

Error no_thread(const std::exception& problem) {
    return {Fault::internal,
            fmt::format("the system gives no thread to make the preview with ({}); end other programs, or "
                        "raise the limit of threads",
                        problem.what()),
            ""};
}

PictureFeed::PictureFeed(const Timeline& timeline, const media::PictureOptions& form)
    : timeline_(timeline), form_(form), most_held_(most_of(form)), events_(timeline.video.size()) {
    form_.key_tables = media::make_key_tables();
}

PictureFeed::~PictureFeed() {
    end();
}

Result<void> PictureFeed::start(unsigned threads) {
    try {
        for (unsigned i = 0; i < threads; ++i)
            threads_.emplace_back([this] { work(); });
    } catch (const std::exception& problem) {
        end();
        return no_thread(problem);
    }
    return {};
}

void PictureFeed::end() {
    {
        const std::lock_guard lock(mutex_);
        stopped_ = true;
    }
    room_.notify_all();
    threads_.clear(); // joins them
}

void PictureFeed::work() {
    OpenClip clip;
    for (;;) {
        std::size_t index = 0;
        {
            const std::lock_guard lock(mutex_);
            if (stopped_ || begun_ == events_.size()) return;
            index = begun_++;
        }
        read(index, clip);
    }
}

// False once nobody waits for pictures any more.
bool PictureFeed::put(std::size_t index, const media::Picture& picture) {
    std::unique_lock lock(mutex_);
    auto& ready = events_[index].ready;
    // The event that is being shown may always go on by one, so that nobody waits for ever.
    room_.wait(lock, [&] { return stopped_ || held_ < most_held_ || (index == showing_ && ready.empty()); });
    if (stopped_) return false;
    ready.push_back(picture);
    ++held_;
    lock.unlock();
    filled_.notify_one();
    return true;
}

void PictureFeed::read(std::size_t index, OpenClip& clip) {
    const VideoEvent& event = timeline_.video[index];
    if (!event.media) {
        const media::Picture black(form_.width, form_.height);
        for (std::int64_t k = 0; k < event.record.length().n; ++k)
            if (!put(index, black)) return;
        return;
    }
    const TimelineMedia& file = timeline_.media[*event.media];
    const auto instants = shown_s(event, file, timeline_.rate);
    if (!clip.serves(event)) clip = OpenClip(timeline_, event, form_);
    clip.expect(instants);
    std::int64_t lost = 0;
    std::string first;
    std::optional<media::Picture> instead;
    for (const Fraction at : instants) {
        const auto picture = clip.picture_at(at);
        if (picture) {
            if (!put(index, **picture)) return;
            continue;
        }
        if (lost++ == 0) first = to_string(picture.error());
        if (!instead) instead = slate(form_.width, form_.height, file.name);
        if (!put(index, *instead)) return;
    }
    if (lost == 0) return;
    const std::lock_guard lock(mutex_);
    events_[index].note = fmt::format("{}: the preview has a slate for {} of {} pictures of shot {} ({})",
                                      file.name, lost, instants.size(), event.shot, first);
}

media::Picture PictureFeed::next() {
    std::unique_lock lock(mutex_);
    while (taken_ == timeline_.video[showing_].record.length().n) {
        ++showing_;
        taken_ = 0;
    }
    room_.notify_all();
    auto& ready = events_[showing_].ready;
    filled_.wait(lock, [&] { return !ready.empty(); });
    media::Picture picture = std::move(ready.front());
    ready.pop_front();
    --held_;
    ++taken_;
    lock.unlock();
    room_.notify_all();
    return picture;
}

std::size_t PictureFeed::held() const {
    const std::lock_guard lock(mutex_);
    return held_;
}

std::vector<Warning> PictureFeed::notes() {
    end(); // a note is made after its event's last picture
    std::vector<Warning> notes;
    for (std::size_t i = 0; i < events_.size(); ++i)
        if (!events_[i].note.empty()) notes.emplace_back(events_[i].note, timeline_.video[i].record);
    return notes;
}

} // namespace downball::preview
