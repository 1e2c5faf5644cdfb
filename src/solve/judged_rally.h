// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "solve/judged_cut.h"

#include <fmt/format.h>
#include <string>
#include <vector>

namespace downball::solve {

// What the judge finds in a rally on the beat.
class JudgedRally : JudgedCut {
  public:
    using JudgedCut::JudgedCut;

    std::vector<std::string> breaches(std::size_t n) {
        found_.clear();
        const Rally& limits = limits_.rally;
        const auto& anchors = shot(n).anchors;
        if (take(n).kind != Kind::action || anchors.size() < 2 ||
            anchors.size() > static_cast<std::size_t>(std::clamp(limits.contacts_max, 1, 4)))
            return {
                fmt::format("holds {} contacts, a rally has 2 to {}", anchors.size(), limits.contacts_max)};
        Fraction slowest(1);
        for (const Stretch& stretch : shot(n).stretches)
            slowest = std::min(slowest, speed_of(stretch));
        if (slowest != shot(n).speed) breach("says another speed than its slowest stretch has");
        const bool slowed = slowed_rally(n);
        if (joint(n, 0) <= shot(n).record.in.n)
            breach("begins on its first contact, a rally begins before it");
        real_time_until(n, shot(n).record.in.n, joint(n, 0));
        for (std::size_t i = 1; i < anchors.size(); ++i) {
            if (anchors[i].impact != next_sure(n, anchors[i - 1].impact))
                breach("leaves out a contact of its rally");
            gap(n, i, slowed);
        }
        real_time_until(n, joint(n, anchors.size() - 1), shot(n).record.out.n);
        return std::move(found_);
    }

  private:
    template <class... Args>
    void breach(const char* form, Args&&... args) {
        found_.push_back(fmt::format(fmt::runtime(form), std::forward<Args>(args)...));
    }

    std::size_t next_sure(std::size_t n, std::size_t impact) const {
        do
            ++impact;
        while (impact < take(n).impacts.size() && !sure(take(n).impacts[impact]));
        return impact;
    }
    double beat_frames(std::size_t beat) const { return record_frames(problem_.beats.beats[beat].seconds); }
    std::int64_t frame_of_beat(std::size_t beat) const { return frames_near(beat_frames(beat) / fps_); }
    std::int64_t joint(std::size_t n, std::size_t i) const { return frame_of_beat(shot(n).anchors[i].beat); }
    std::int64_t source_on(std::size_t n, std::size_t impact, std::size_t beat) const {
        double off = beat_frames(beat) - static_cast<double>(frame_of_beat(beat));
        return static_cast<std::int64_t>(std::floor(contact_source(n, impact) - off + 0.5 + hair));
    }
    // What the shot shows at a record frame, or would at its end.
    double shown_at(std::size_t n, std::int64_t record) const {
        const auto& all = shot(n).stretches;
        auto at = std::find_if(all.begin(), all.end() - 1,
                               [&](const Stretch& stretch) { return record < stretch.record.out.n; });
        return static_cast<double>(at->source.in.n) +
               static_cast<double>(record - at->record.in.n) * speed_of(*at).to_double();
    }
    // Steady from one record frame to the other: no stretch ends between them.
    bool steady(std::size_t n, std::int64_t from, std::int64_t to) const {
        double step = (shown_at(n, to) - shown_at(n, from)) / static_cast<double>(to - from);
        for (std::int64_t r = from; r < to; ++r)
            if (std::abs(shown_at(n, r + 1) - shown_at(n, r) - step) > hair) return false;
        return true;
    }
    void real_time_until(std::size_t n, std::int64_t from, std::int64_t to) {
        bool inside = from >= shot(n).record.in.n && to <= shot(n).record.out.n && from < to;
        if (inside && (!steady(n, from, to) ||
                       std::abs(shown_at(n, to) - shown_at(n, from) - static_cast<double>(to - from)) > hair))
            breach("is retimed before its first or after its last contact");
    }

    // From contact i - 1 to contact i of a rally: one speed that is allowed, and the right beat.
    void gap(std::size_t n, std::size_t i, bool slowed) {
        const Anchor& before = shot(n).anchors[i - 1];
        const Anchor& here = shot(n).anchors[i];
        std::int64_t from = joint(n, i - 1), to = joint(n, i);
        if (to <= from || from < shot(n).record.in.n || to > shot(n).record.out.n)
            return breach("contacts of its rally are not on beats that follow one another");
        for (auto [anchor, at] : {std::pair{before, from}, std::pair{here, to}})
            if (std::abs(shown_at(n, at) - static_cast<double>(source_on(n, anchor.impact, anchor.beat))) >
                hair)
                breach("does not show contact {} at its beat's frame", take(n).impacts[anchor.impact].id);
        if (!steady(n, from, to)) breach("changes its speed between two contacts");
        std::optional<std::size_t> wanted;
        double wanted_speed = 0;
        for (std::size_t b = before.beat + 1; b < problem_.beats.beats.size(); ++b) {
            if (frame_of_beat(b) >= plan_.length.n) break;
            if (frame_of_beat(b) <= from) continue;
            double speed =
                static_cast<double>(source_on(n, here.impact, b) - source_on(n, before.impact, before.beat)) /
                static_cast<double>(frame_of_beat(b) - from);
            if (!gap_speed_allowed(n, speed, slowed)) continue;
            bool nearer = wanted && !slowed &&
                          std::min(speed, 1 / speed) > std::min(wanted_speed, 1 / wanted_speed) + 1e-9;
            if (wanted && !nearer) continue;
            wanted = b;
            wanted_speed = speed;
        }
        if (!wanted)
            breach("no speed between contacts {} and {} is allowed", take(n).impacts[before.impact].id,
                   take(n).impacts[here.impact].id);
        else if (*wanted != here.beat)
            breach("contact {} is held on beat {}, nearer to its pace is beat {}",
                   take(n).impacts[here.impact].id, here.beat, *wanted);
    }
    bool gap_speed_allowed(std::size_t n, double speed, bool slowed) const {
        if (!slowed) return speed >= limits_.rally.slowest - 1e-9 && speed <= limits_.rally.fastest + 1e-9;
        const auto& rate = media(n).rate;
        bool fast_camera = rate && Fraction(10) * rate->value() >= Fraction(19) * rate_.value();
        double once = fast_camera ? (rate_.value() / rate->value()).to_double() : 1;
        return speed < limits_.rally.slowest - 1e-9 &&
               speed >= std::max(once, limits_.variety.slowest) - 1e-9;
    }

    std::vector<std::string> found_;
};

} // namespace downball::solve
