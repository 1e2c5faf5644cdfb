// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "downball/solve/solve.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

namespace downball::solve {

// What the judge reads from problem and plan. It shares no code with the solver: limits are put into frames,
// shots into source ranges and contacts into instants here once more, from the sentences of solve.h.
class JudgedCut {
  public:
    JudgedCut(const Problem& problem, const CutPlan& plan)
        : problem_(problem), plan_(plan), limits_(problem.limits), rate_(problem.limits.delivery.rate),
          fps_(rate_.per_second()) {}

  protected:
    static constexpr double hair = 1e-5; // frames
    static constexpr double tie =
        1e-6; // so near to a tie, an instant is one; as wherever instants become frames

    const PlannedShot& shot(std::size_t n) const { return plan_.shots[n]; }
    const Take& take(std::size_t n) const { return problem_.log.takes[shot(n).take]; }
    const MediaInfo& media(std::size_t n) const { return problem_.log.media[take(n).media]; }
    static bool is_cutaway(Kind kind) { return kind == Kind::cutaway || kind == Kind::establishing; }
    static bool is_reaction(Kind kind) { return kind == Kind::reaction || kind == Kind::celebration; }

    double record_frames(double song_seconds) const { return (song_seconds - plan_.song_start_s) * fps_; }
    std::int64_t frames_up(double s) const { return static_cast<std::int64_t>(std::ceil(s * fps_ - tie)); }
    std::int64_t frames_down(double s) const { return static_cast<std::int64_t>(std::floor(s * fps_ + tie)); }
    std::int64_t frames_near(double s) const {
        return static_cast<std::int64_t>(std::ceil(s * fps_ - 0.5 - tie)); // ties to the earlier
    }

    // Contacts of a rally on the beat, or the one that the shot hangs on; anchored all.
    std::vector<std::size_t> held(std::size_t n) const {
        std::vector<std::size_t> all;
        for (const Anchor& anchor : shot(n).anchors)
            if (all.empty() || is_rally(n)) all.push_back(anchor.impact);
        return all;
    }
    bool holds(std::size_t n, std::size_t impact) const {
        auto all = held(n);
        return std::find(all.begin(), all.end(), impact) != all.end();
    }
    bool is_rally(std::size_t n) const { return !shot(n).stretches.empty(); }
    static Fraction speed_of(const Stretch& stretch) {
        return Fraction(stretch.source.length().n) / Fraction(stretch.record.length().n);
    }

    bool slowed_rally(std::size_t n) const {
        return is_rally(n) && shot(n).speed.to_double() < limits_.rally.slowest - 1e-9;
    }
    Fraction edge_speed(std::size_t n) const { return is_rally(n) ? Fraction(1) : shot(n).speed; }

    // First source frame that is no longer taken up.
    std::int64_t source_end(std::size_t n) const {
        if (is_rally(n)) return shot(n).stretches.back().source.out.n;
        return shot(n).source_in.n + ceil(Fraction(shot(n).record.length().n) * shot(n).speed);
    }
    // Seconds from the list frame at or before the file's start label to its first picture.
    double phase_s(std::size_t n) const {
        if (!media(n).start) return 0;
        const Fraction exact = seconds_of(media(n).start->at, media(n).start->rate) * rate_.value();
        return (exact - Fraction(floor(exact))).to_double() / fps_;
    }
    double contact_source(std::size_t n, std::size_t impact) const {
        return (take(n).impacts[impact].picture_s + phase_s(n)) * fps_;
    }
    double contact_record(std::size_t n, std::size_t impact) const {
        if (is_rally(n)) return record_in_stretches(n, contact_source(n, impact));
        return static_cast<double>(shot(n).record.in.n) +
               (contact_source(n, impact) - static_cast<double>(shot(n).source_in.n)) /
                   shot(n).speed.to_double();
    }
    double record_in_stretches(std::size_t n, double source) const {
        const auto& all = shot(n).stretches;
        auto at = std::find_if(all.begin(), all.end() - 1, [&](const Stretch& stretch) {
            return source < static_cast<double>(stretch.source.out.n);
        });
        return static_cast<double>(at->record.in.n) +
               (source - static_cast<double>(at->source.in.n)) / speed_of(*at).to_double();
    }
    bool sure(const Impact& impact) const { return impact.confidence >= limits_.variety.confidence_floor; }

    bool shows(std::size_t n, std::size_t impact) const {
        double at = contact_source(n, impact);
        if (!sure(take(n).impacts[impact])) return false;
        if (holds(n, impact)) return true;
        return at >= static_cast<double>(shot(n).source_in.n) && at < static_cast<double>(source_end(n));
    }

    // (skill, how many of it came before in the take); nothing where the skill is not known.
    std::optional<std::pair<Skill, int>> name_of(const Take& of, std::size_t impact) const {
        if (!of.impacts[impact].skill) return std::nullopt;
        int before = 0;
        for (std::size_t i = 0; i < impact; ++i)
            if (of.impacts[i].skill == of.impacts[impact].skill) ++before;
        return std::pair{*of.impacts[impact].skill, before};
    }

    template <class Known>
    bool all_of_moment(const std::string& moment, Known known) const {
        for (const Take& its : problem_.log.takes)
            if (its.moment == moment && its.use != Use::never && its.kind == Kind::action)
                for (const Impact& impact : its.impacts)
                    if (sure(impact) && !known(impact)) return false;
        return true;
    }
    bool moment_numbered(const std::string& moment) const {
        return all_of_moment(moment, [](const Impact& impact) { return impact.event.has_value(); });
    }
    bool moment_told(const std::string& moment) const {
        return all_of_moment(moment, [](const Impact& impact) { return impact.skill.has_value(); });
    }

    bool same_contact(std::size_t a, std::size_t b) const {
        const bool numbered = moment_numbered(take(a).moment);
        if (!numbered && !moment_told(take(a).moment)) return true;
        const auto alike = [&](std::size_t i, std::size_t j) {
            return numbered ? take(a).impacts[i].event == take(b).impacts[j].event
                            : name_of(take(a), i) == name_of(take(b), j);
        };
        for (std::size_t i = 0; i < take(a).impacts.size(); ++i)
            for (std::size_t j = 0; j < take(b).impacts.size(); ++j)
                if (shows(a, i) && shows(b, j) && alike(i, j)) return true;
        return false;
    }

    double longest_tail() const {
        auto tail = static_cast<double>(std::max<std::int64_t>(1, frames_up(limits_.pacing.tail_s)));
        return std::max(limits_.pacing.tail_max_s * fps_, tail);
    }
    // Record frames from the last contact that an action shows to its end.
    double after_last_contact(std::size_t n) const {
        std::size_t last = shot(n).anchors.front().impact;
        for (std::size_t i = 0; i < take(n).impacts.size(); ++i)
            if (shows(n, i) && contact_source(n, i) > contact_source(n, last)) last = i;
        return static_cast<double>(shot(n).record.out.n) - contact_record(n, last);
    }

    // The first place in the day among the takes of its moment that may be used.
    int day_of(const Take& of) const {
        int day = of.order;
        for (const Take& its : problem_.log.takes)
            if (!of.moment.empty() && its.moment == of.moment && its.use != Use::never &&
                its.kind != Kind::sound)
                day = std::min(day, its.order);
        return day;
    }

    // The contacts of the take that tells most of a rally, by name.
    std::vector<std::pair<Skill, int>> told_in_order(const std::string& moment) const {
        std::vector<std::pair<Skill, int>> longest;
        for (const Take& its : problem_.log.takes) {
            if (its.moment != moment || its.use == Use::never || its.kind != Kind::action) continue;
            std::vector<std::pair<Skill, int>> names;
            for (std::size_t i = 0; i < its.impacts.size(); ++i)
                if (sure(its.impacts[i])) names.push_back(*name_of(its, i));
            if (names.size() > longest.size()) longest = std::move(names);
        }
        return longest;
    }

    // Does shot `a` hang on a contact that was played before the one of `b`, as far as the log tells?
    bool played_before(std::size_t a, std::size_t b) const {
        if (shot(a).anchors.empty() || shot(b).anchors.empty()) return false;
        std::size_t i = shot(a).anchors.front().impact, j = shot(b).anchors.front().impact;
        if (shot(a).take == shot(b).take) return contact_source(a, i) < contact_source(b, j);
        const std::string& moment = take(a).moment;
        if (moment.empty() || take(b).moment != moment) return false;
        if (moment_numbered(moment)) return *take(a).impacts[i].event < *take(b).impacts[j].event;
        if (!moment_told(moment)) return false;
        auto order = told_in_order(moment);
        auto x = std::find(order.begin(), order.end(), *name_of(take(a), i));
        auto y = std::find(order.begin(), order.end(), *name_of(take(b), j));
        return x != order.end() && y != order.end() && x < y;
    }

    std::vector<Skill> skills_shown(std::size_t n) const {
        if (take(n).kind != Kind::action || shot(n).anchors.empty()) return {};
        std::vector<Skill> skills;
        for (std::size_t i : held(n)) {
            const Impact& impact = take(n).impacts[i];
            if (impact.skill)
                skills.push_back(*impact.skill);
            else
                skills.insert(skills.end(), take(n).skills.begin(), take(n).skills.end());
            if (impact.with_block) skills.push_back(Skill::block);
        }
        return skills;
    }

    bool slow(std::size_t n) const {
        double shown = media(n).rate ? media(n).rate->per_second() : media(n).average_fps;
        return slowed_rally(n) || (!is_rally(n) && shot(n).speed < Fraction(1)) ||
               (take(n).capture_fps && shown > 0 && *take(n).capture_fps > 1.05 * shown);
    }

    const Problem& problem_;
    const CutPlan& plan_;
    const Limits& limits_;
    Rate rate_;
    double fps_;
};

} // namespace downball::solve
