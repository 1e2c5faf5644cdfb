// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/edited_list.h"

#include "pipeline/listed_shots.h"

#include "downball/base/notes.h"
#include "downball/solve/last_cut.h"

#include <algorithm>
#include <fmt/format.h>
#include <map>

namespace downball::pipeline {
namespace {

std::string label(Frame record, const Delivery& delivery) {
    const auto text = to_timecode(wrap_day(delivery.start + record, delivery.rate, delivery.counting),
                                  delivery.rate, delivery.counting);
    return text ? *text : fmt::format("frame {}", record.n);
}

std::string shots(std::size_t n) {
    return fmt::format("{} shot{}", n, n == 1 ? "" : "s");
}

// What the last cut knows the shot by.
const std::string& name_of(const LastCut::Shot& shot) {
    return shot.action ? shot.id : shot.take;
}

class Understanding {
  public:
    Understanding(const Returned& returned, std::vector<ListedShot> listed)
        : returned_(returned), problem_(returned.problem), listed_(std::move(listed)) {}

    EditedList run() {
        length_ = cut_length(problem_);
        for (ListedShot& shot : listed_)
            if (shot.plan && (shot.record.in < Frame{0} || shot.record.out > length_))
                shot.why_not = "lies outside of the cut";
        while (drop_misplaced()) {
        }
        number_plain_shots();
        lock();
        find_removed();
        tell();
        return std::move(found_);
    }

  private:
    std::vector<std::size_t> placed() const {
        std::vector<std::size_t> all;
        for (std::size_t n = 0; n < listed_.size(); ++n)
            if (listed_[n].plan && listed_[n].why_not.empty()) all.push_back(n);
        return all;
    }

    // Shots that may not stand where they are, seen with those that still keep their places. Each that goes leaves the end
    // of the one before open, so that this is asked again until all may stay.
    bool drop_misplaced() {
        drop_covering();
        const auto which = placed();
        CutPlan plan;
        plan.song_start_s = problem_.song_start_s;
        plan.length = length_;
        std::vector<bool> open;
        for (std::size_t n = 0; n < which.size(); ++n) {
            const PlannedShot& shot = *listed_[which[n]].plan;
            plan.shots.push_back(shot);
            const Frame next = n + 1 < which.size() ? listed_[which[n + 1]].plan->record.in : length_;
            open.push_back(next != shot.record.out);
        }
        const auto breaches = solve::check_each(problem_, plan, open);
        bool any = false;
        for (std::size_t n = 0; n < which.size(); ++n) {
            if (breaches[n].empty()) continue;
            listed_[which[n]].why_not = breaches[n].front();
            any = true;
        }
        return any;
    }

    void drop_covering() {
        Frame at{0};
        for (const std::size_t n : placed()) {
            if (listed_[n].record.in < at)
                listed_[n].why_not = "lies over the shot before it";
            else
                at = listed_[n].record.out;
        }
    }

    void number_plain_shots() {
        std::map<std::string, int> ordinals;
        for (const bool with_place : {true, false})
            for (ListedShot& shot : listed_)
                if (shot.take && shot.contact.empty() && shot.why_not.empty() == with_place) {
                    const auto& id = problem_.log.takes[*shot.take].id;
                    shot.id = fmt::format("{}@{}", id, ++ordinals[id]);
                    if (shot.plan) shot.plan->id = shot.id;
                }
    }

    // What has no place of its own may have one, but need not: else an editor's cut would leave nothing to choose.
    void lock() {
        CutPlan kept;
        kept.song_start_s = problem_.song_start_s;
        for (const std::size_t n : placed()) {
            const PlannedShot& shot = *listed_[n].plan;
            const int held = shot.stretches.empty() ? 1 : static_cast<int>(shot.anchors.size());
            found_.locks.push_back(
                {shot.id, shot.record.in, shot.source_in, listed_[n].contact.empty() ? 0 : held});
            kept.shots.push_back(shot);
        }
        found_.cut = solve::as_last_cut(problem_, kept);
        add_displaced();
    }

    // To stay near to them is to hang them on the beats that are nearest.
    void add_displaced() {
        for (const ListedShot& shot : listed_)
            if (!shot.id.empty() && !shot.why_not.empty())
                found_.cut.shots.push_back({shot.id, problem_.log.takes[*shot.take].id, !shot.contact.empty(),
                                            shot.beat_s, shot.speed, shot.record, Frame{0}, shot.held});
        std::ranges::stable_sort(found_.cut.shots, {}, [](const LastCut::Shot& s) { return s.record.in; });
    }

    void find_removed() {
        const std::set<std::string> there = shown();
        for (const std::string& name : returned_.removed_before)
            if (!there.contains(name)) found_.removed.insert(name);
        if (!returned_.last || returned_.last->shots.empty() || returned_.as_before) return;
        std::size_t common = 0;
        std::set<std::string> gone;
        for (const LastCut::Shot& shot : returned_.last->shots)
            if (there.contains(name_of(shot)))
                ++common;
            else
                gone.insert(name_of(shot));
        strange_ = common * 2 < returned_.last->shots.size();
        if (strange_) return;
        found_.removed.merge(gone);
    }

    // Names of all that the list has, and be it slipped past its contact; of rallies each contact.
    std::set<std::string> shown() const {
        std::set<std::string> there;
        for (const LastCut::Shot& shot : found_.cut.shots)
            there.insert(name_of(shot));
        for (const ListedShot& shot : listed_) {
            if (!shot.told.empty()) there.insert(shot.told);
            for (std::size_t n = 0; shot.plan && n < shot.plan->anchors.size(); ++n)
                there.insert(problem_.log.takes[*shot.take].impacts[shot.plan->anchors[n].impact].id);
        }
        return there;
    }

    void tell() {
        const auto count = [&](const auto& is) {
            return static_cast<std::size_t>(std::ranges::count_if(listed_, is));
        };
        const std::size_t stay = placed().size();
        const std::size_t free =
            count([](const ListedShot& s) { return !s.id.empty() && !s.why_not.empty(); });
        const std::size_t foreign = count([](const ListedShot& s) { return s.id.empty(); });
        std::string line = fmt::format("{} of {} keep their places", stay, shots(listed_.size()));
        if (free > 0) line += fmt::format(", {} may find another", free);
        if (foreign > 0)
            line += fmt::format(", the place{} of {} {} filled anew", foreign == 1 ? "" : "s", foreign,
                                foreign == 1 ? "is" : "are");
        if (!found_.removed.empty())
            line += fmt::format("; {} taken out, which will not come back", found_.removed.size());
        found_.told.push_back(line);
        const std::vector<std::string> removed(found_.removed.begin(), found_.removed.end());
        if (!removed.empty()) found_.told.push_back("  taken out: " + some_of(removed, 12));
        tell_unseen();
        if (strange_)
            found_.told.push_back("it has less than half of the last cut's shots: what it lacks does not "
                                  "count as taken out");
        for (const ListedShot& shot : listed_)
            if (!shot.why_not.empty() || !shot.slipped.empty())
                found_.told.push_back(fmt::format("  {}  {}: {}",
                                                  label(shot.record.in, problem_.limits.delivery),
                                                  shot.id.empty() ? shot.called : shot.id,
                                                  shot.why_not.empty() ? shot.slipped : shot.why_not));
    }

    // Only the first picture track is looked at, and of that only plain clips.
    void tell_unseen() {
        const auto& tracks = returned_.list.tracks;
        const auto first = std::ranges::find(tracks, true, &read::ListedTrack::picture) - tracks.begin();
        const auto above = std::ranges::count_if(returned_.list.events, [&](const read::ListedEvent& event) {
            return tracks[event.track].picture && !event.black &&
                   static_cast<std::ptrdiff_t>(event.track) != first;
        });
        if (above > 0)
            found_.told.push_back(
                fmt::format("  {} clip{} on picture tracks above the first {} not taken back: lay what shall "
                            "stay on the first",
                            above, above == 1 ? "" : "s", above == 1 ? "is" : "are"));
        if (const auto& unseen = returned_.list.passed_over; !unseen.empty())
            found_.told.push_back("  not taken back: " + some_of(unseen, 3));
    }

    const Returned& returned_;
    const solve::Problem& problem_;
    std::vector<ListedShot> listed_;
    EditedList found_;
    Frame length_{0};
    bool strange_ = false;
};

} // namespace

Result<EditedList> understand(const Returned& returned) {
    auto listed = listed_shots(returned);
    if (!listed) return listed.error();
    if (std::ranges::none_of(*listed, [](const ListedShot& shot) { return shot.take.has_value(); }))
        return Error{
            Fault::bad_input,
            "none of its shots is of a file in the log; give a list that this job wrote, as it came back "
            "from the editor",
            ""};
    return Understanding(returned, std::move(*listed)).run();
}

} // namespace downball::pipeline
