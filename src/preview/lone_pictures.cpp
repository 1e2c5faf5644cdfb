// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "preview/lone_pictures.h"

#include "preview/open_clip.h"
#include "preview/shown.h"
#include "preview/slate.h"

#include <algorithm>
#include <atomic>
#include <fmt/format.h>
#include <mutex>
#include <set>
#include <thread>

namespace downball::preview {

namespace {

// The wanted frames of one event, growing.
struct Part {
    std::size_t event;
    std::vector<Frame> frames;
    std::string note{};
    std::vector<Frame> lost{};
};

std::vector<Part> parts_of(const Timeline& timeline, std::span<const Frame> wanted) {
    const std::set<Frame> frames(wanted.begin(), wanted.end());
    std::vector<Part> parts;
    for (std::size_t i = 0; i < timeline.video.size(); ++i) {
        const auto& record = timeline.video[i].record;
        const auto from = frames.lower_bound(record.in), to = frames.lower_bound(record.out);
        if (from != to) parts.push_back({i, {from, to}});
    }
    return parts;
}

class Work {
  public:
    using Take = std::function<Result<void>(Frame, const media::Picture&)>;
    Work(const Timeline& timeline, std::vector<Part>& parts, const media::PictureOptions& form,
         const Take& take, const LongWork& work)
        : timeline_(timeline), form_(form), take_(take), work_(work) {
        for (Part& part : parts)
            order_.push_back(&part);
        // A file is opened once and read forward.
        std::ranges::stable_sort(order_, {}, [&](const Part* part) {
            const VideoEvent& event = timeline.video[part->event];
            return std::pair{event.media, event.source.in};
        });
    }

    // What each thread does; one of them reports.
    void run(bool reports) {
        OpenClip clip;
        for (;;) {
            const std::size_t next = begun_++;
            if (next >= order_.size() || ended()) return;
            read(*order_[next], clip);
            const double done = static_cast<double>(++done_) / static_cast<double>(order_.size());
            if (reports) work_.report(done);
        }
    }

    Result<void> result() const {
        if (error_) return *error_;
        if (work_.stop_asked()) return stopped_in_time();
        return {};
    }

  private:
    bool ended() const {
        const std::lock_guard lock(mutex_);
        return error_ || work_.stop_asked();
    }
    // False: there was an error.
    bool give(Frame at, const media::Picture& picture) {
        const auto taken = take_(at, picture);
        if (taken) return true;
        const std::lock_guard lock(mutex_);
        if (!error_) error_ = taken.error();
        return false;
    }
    void read(Part& part, OpenClip& clip);

    const Timeline& timeline_;
    const media::PictureOptions& form_;
    const Take& take_;
    const LongWork& work_;
    std::vector<Part*> order_;
    std::atomic<std::size_t> begun_{0}, done_{0};
    mutable std::mutex mutex_;
    std::optional<Error> error_;
};

void Work::read(Part& part, OpenClip& clip) {
    const VideoEvent& event = timeline_.video[part.event];
    if (!event.media) {
        for (const Frame at : part.frames)
            if (!give(at, media::Picture(form_.width, form_.height))) return;
        return;
    }
    const TimelineMedia& file = timeline_.media[*event.media];
    std::vector<Fraction> instants;
    for (const Frame at : part.frames)
        instants.push_back(shown_s(event, file, timeline_.rate, at - event.record.in));
    if (!clip.serves(event)) clip = OpenClip(timeline_, event, form_);
    clip.expect(instants);
    std::string first;
    for (std::size_t i = 0; i < instants.size() && !work_.stop_asked(); ++i) {
        const auto picture = clip.picture_at(instants[i]);
        if (!picture) {
            if (part.lost.empty()) first = to_string(picture.error());
            part.lost.push_back(part.frames[i]);
        }
        if (!give(part.frames[i], picture ? **picture : slate(form_.width, form_.height, file.name))) return;
    }
    // Of how many is not said: a page asks for fewer where the last one had some.
    if (!part.lost.empty())
        part.note = fmt::format("{}: a slate stands for {} {} of shot {} ({})", file.name, part.lost.size(),
                                part.lost.size() == 1 ? "still" : "stills", event.shot, first);
}

} // namespace

Result<Lost> take_pictures(const Timeline& timeline, std::span<const Frame> wanted,
                           media::PictureOptions form, const Work::Take& take, const LongWork& work) {
    form.key_tables = media::make_key_tables();
    auto parts = parts_of(timeline, wanted);
    Work shared(timeline, parts, form, take, work);
    {
        std::vector<std::jthread> threads;
        try {
            for (unsigned i = 1; i < std::clamp(std::thread::hardware_concurrency(), 2u, 4u); ++i)
                threads.emplace_back([&] { shared.run(false); });
        } catch (const std::system_error&) {
            // The system gives no more: this one does the rest.
        }
        shared.run(true);
    }
    if (auto ended = shared.result(); !ended) return ended.error();
    work.report(1); // whichever thread was last
    Lost lost;
    for (const Part& part : parts) {
        if (!part.note.empty()) lost.notes.push_back(part.note);
        lost.frames.insert(part.lost.begin(), part.lost.end());
    }
    return lost;
}

} // namespace downball::preview
