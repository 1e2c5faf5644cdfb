// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/listed_events.h"

#include "downball/model/m2.h"
#include "downball/model/source_count.h"

#include <cmath>
#include <map>

namespace downball::pipeline {
namespace {

using read::ListedEvent;

bool is_ascii(const std::string& text) {
    return std::ranges::all_of(text, [](char c) { return c > 0; });
}

// Which file of the log, or the song, an event shows. An EDL's names are spelled in ASCII, and two files may have one
// name; a reel belongs to one of our files alone.
class Files {
  public:
    explicit Files(const Returned& returned) {
        const auto& log = returned.problem.log;
        for (std::size_t m = 0; m < log.media.size(); ++m)
            add(log.media[m].name, returned.reels[m], m);
        add(returned.song.name, returned.reels.back(), song());
    }
    static constexpr std::size_t song() { return static_cast<std::size_t>(-1); }

    std::optional<std::size_t> of(const ListedEvent& event) const {
        const auto reel = by_reel_.find(event.reel);
        if (reel != by_reel_.end()) {
            const std::string& name = reel->second.first;
            if (event.file.empty() || event.file == name || !is_ascii(name)) return reel->second.second;
        }
        const auto [from, to] = by_name_.equal_range(event.file);
        if (from == to || std::next(from) != to) return std::nullopt;
        return from->second;
    }

  private:
    void add(const std::string& name, const std::string& reel, std::size_t index) {
        by_reel_.emplace(reel, std::pair{name, index});
        by_name_.emplace(name, index);
    }
    std::map<std::string, std::pair<std::string, std::size_t>> by_reel_;
    std::multimap<std::string, std::size_t> by_name_;
};

// "attack? T016#3530" -> "T016#3530"
std::string id_in(const std::string& marker) {
    const auto blank = marker.find_last_of(' ');
    const std::string word = blank == std::string::npos ? marker : marker.substr(blank + 1);
    return word.find('#') == std::string::npos ? std::string() : word;
}

std::string called(const ListedEvent& event) {
    return event.file.empty() ? event.reel : event.file;
}

class Reader {
  public:
    explicit Reader(const Returned& returned)
        : returned_(returned), problem_(returned.problem), list_(returned.list),
          rate_(returned.problem.limits.delivery.rate), files_(returned) {}

    std::vector<Shown> run() {
        find_zero();
        for (const ListedEvent* event : pictures()) {
            const auto media = files_.of(*event);
            if (!media || *media == Files::song() || event->speed <= 0)
                add_foreign(*event);
            else
                add_event(*event, *media);
        }
        close();
        return std::move(shown_);
    }

  private:
    std::vector<const ListedEvent*> pictures() const {
        std::size_t first = 0;
        while (first < list_.tracks.size() && !list_.tracks[first].picture)
            ++first;
        std::vector<const ListedEvent*> found;
        for (const ListedEvent& event : list_.events)
            if (event.track == first && !event.black && !event.record.empty()) found.push_back(&event);
        std::ranges::stable_sort(found, {}, [](const ListedEvent* e) { return e->record.in; });
        return found;
    }

    // Beats lie where the song lies, wherever the editor's clock begins.
    void find_zero() {
        const Delivery& delivery = problem_.limits.delivery;
        zero_ = delivery.start;
        for (const ListedEvent& event : list_.events) {
            if (list_.tracks[event.track].picture || files_.of(event) != Files::song()) continue;
            const Frame begins =
                count_source(returned_.song, rate_).first + nearest_frame(problem_.song_start_s, rate_);
            zero_ = event.record.in - (event.source.in - begins);
            return;
        }
    }

    FrameRange record_of(const ListedEvent& event) const {
        return {event.record.in - zero_, event.record.out - zero_};
    }

    Frame source_in(const ListedEvent& event, std::size_t media) const {
        const Frame at = event.source.in - count_source(problem_.log.media[media], rate_).first;
        return at < Frame{0} ? at + day_length(rate_, list_.counting) : at;
    }

    void add_foreign(const ListedEvent& event) {
        close();
        Shown foreign{{}, {Run{record_of(event), {}}}, "", called(event)};
        foreign.backwards = event.speed <= 0;
        shown_.push_back(std::move(foreign));
    }

    // Of the speeds that a cut has, the one that the event's stands for, which an M2 line may have rounded.
    std::optional<Fraction> speed_of(const ListedEvent& event, const MediaInfo& media) const {
        std::vector<Fraction> speeds{Fraction(1)};
        if (media.rate) speeds.push_back(rate_.value() / media.rate->value());
        for (const Fraction speed : speeds)
            if (std::abs(event.speed - speed.to_double()) <= event.speed_slack + 1e-6 ||
                std::abs(event.speed - m2_speed(speed, rate_).to_double()) < 1e-6)
                return speed;
        return std::nullopt;
    }

    void add_event(const ListedEvent& event, std::size_t media) {
        const auto told = !event.shot.empty()   ? event.shot
                          : event.marks.empty() ? std::string()
                                                : id_in(event.marks.front().text);
        const auto speed = speed_of(event, problem_.log.media[media]);
        Run run;
        run.record = record_of(event);
        run.source.in = source_in(event, media);
        // To a thousandth, where it is no speed of ours: only what it shows matters then.
        run.speed =
            speed.value_or(Fraction(std::max<std::int64_t>(1, std::llround(event.speed * 1000)), 1000));
        run.source.out = run.source.in + Frame{ceil(Fraction(run.record.length().n) * run.speed)};
        if (goes_on(run, media, event.shot) && !begins_anew(run, told)) {
            open_->runs.back().source.out = run.source.in;
            open_->runs.push_back(run);
            if (open_->told.empty())
                open_->told = told; // the first contact of a rally may lie in its second part
            return;
        }
        close();
        open_ = Shown{media, {run}, told, called(event), speed.has_value()};
        open_shot_ = event.shot;
    }

    // Two shots of one clip may go on by chance: both in real time, as no two parts of a rally are, and each with a
    // contact of its own.
    bool begins_anew(const Run& run, const std::string& told) const {
        const bool real_time = run.speed == Fraction(1) && open_->runs.back().speed == Fraction(1);
        return real_time && !told.empty() && !open_->told.empty() && told != open_->told;
    }

    bool goes_on(const Run& run, std::size_t media, const std::string& shot) const {
        if (!open_ || open_->media != media || (!shot.empty() && !open_shot_.empty() && shot != open_shot_))
            return false;
        const Run& before = open_->runs.back();
        return before.record.out == run.record.in && std::abs((before.source.out - run.source.in).n) <= 1;
    }

    void close() {
        if (open_) {
            join_runs(*open_);
            shown_.push_back(std::move(*open_));
        }
        open_.reset();
    }

    // Neighbours at one speed are one.
    static void join_runs(Shown& shown) {
        std::vector<Run> joined;
        const bool parts = std::ranges::any_of(
            shown.runs, [&](const Run& run) { return run.speed != shown.runs.front().speed; });
        for (Run run : shown.runs) {
            // Between contacts the frames tell the speed, which an M2 line only rounds.
            if (parts && !run.source.empty())
                run.speed = Fraction(run.source.length().n, run.record.length().n);
            if (!joined.empty() && joined.back().speed == run.speed && (!parts || run.speed == Fraction(1))) {
                joined.back().record.out = run.record.out;
                joined.back().source.out = run.source.out;
            } else
                joined.push_back(run);
        }
        shown.runs = std::move(joined);
        if (shown.runs.size() > 1) shown.at_a_speed_of_ours = true;
    }

    const Returned& returned_;
    const solve::Problem& problem_;
    const read::CutList& list_;
    Rate rate_;
    Files files_;
    Frame zero_{0};
    std::optional<Shown> open_;
    std::string open_shot_;
    std::vector<Shown> shown_;
};

} // namespace

std::vector<Shown> shown_in_list(const Returned& returned) {
    return Reader(returned).run();
}

} // namespace downball::pipeline
