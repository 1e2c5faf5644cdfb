// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/listed_shots.h"

#include "pipeline/listed_events.h"

#include "downball/model/source_count.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace downball::pipeline {
namespace {

class Teller {
  public:
    explicit Teller(const Returned& returned)
        : returned_(returned), problem_(returned.problem), rate_(returned.problem.limits.delivery.rate) {}

    ListedShot tell(const Shown& shown) const {
        ListedShot shot;
        shot.record = shown.record();
        shot.called = shown.called;
        shot.told = shown.told;
        if (!shown.media) {
            shot.why_not = shown.backwards ? "does not run forwards" : "is not of this log";
            return shot;
        }
        const auto contact = contact_of(shown);
        const auto take = plain_take(shown);
        const bool told_plain = take && shown.told.starts_with(problem_.log.takes[*take].id + "@");
        if (contact && !told_plain)
            tell_action(shown, contact->first, contact->second, shot);
        else if (take) {
            shot.take = take;
            shot.beat_s = beat_s(nearest_beat(static_cast<double>(shot.record.in.n)));
            if (!shown.at_a_speed_of_ours || shown.retimed_by_parts() ||
                shown.runs.front().speed != Fraction(1))
                shot.why_not = "runs at another speed than real time";
            else
                shot.plan = plan_of(shown, *take);
        } else
            shot.why_not = "shows no contact that the log has, and is of no take without action";
        return shot;
    }

  private:
    struct Hit {
        std::size_t beat = 0;
        double error = 0; // record frames; positive = picture late
    };
    // The beat nearest to a place of the record.
    Hit nearest_beat(double record) const {
        Hit nearest{0, 1e9};
        for (std::size_t b = 0; b < problem_.beats.beats.size(); ++b) {
            const double error = record - beat_frames(b);
            if (std::abs(error) < std::abs(nearest.error)) nearest = {b, error};
        }
        return nearest;
    }
    Hit hit_of(const Shown& shown, const Take& take, std::size_t impact) const {
        return nearest_beat(shown.record_of(position(take, impact)));
    }
    static bool on_beat(const Hit& hit) { return std::abs(hit.error) <= 0.5 + hair; }

    double position(const Take& take, std::size_t impact) const {
        return count_source(problem_.log.media[take.media], rate_).position(take.impacts[impact].picture_s);
    }

    // The contact by which an action is told: the one that our own marks name, else one that meets a beat, the one
    // of the last cut before others, else the one of the last cut; of a rally the first, else the strongest. All by what
    // it shows.
    std::optional<std::pair<std::size_t, std::size_t>> contact_of(const Shown& shown) const {
        std::optional<std::pair<std::size_t, std::size_t>> best;
        double best_worth = -1;
        for (std::size_t t = 0; t < problem_.log.takes.size(); ++t) {
            const Take& take = problem_.log.takes[t];
            if (take.media != shown.media || take.kind != Kind::action || take.use == Use::never) continue;
            for (std::size_t i = 0; i < take.impacts.size(); ++i) {
                const Impact& impact = take.impacts[i];
                if (impact.confidence < problem_.limits.variety.confidence_floor ||
                    !shown.shows(position(take, i)))
                    continue;
                double worth = (shown.retimed_by_parts() ? 0 : 0.1 * impact.strength) +
                               (impact.id == shown.told ? 8 : 0) + (on_beat(hit_of(shown, take, i)) ? 4 : 0) +
                               (was_cut(impact.id) ? 2 : 0);
                if (worth > best_worth + 1e-9) {
                    best_worth = worth;
                    best = {t, i};
                }
            }
        }
        return best;
    }

    const LastCut::Shot* was_cut(const std::string& id) const {
        if (!returned_.last) return nullptr;
        const auto at = std::ranges::find_if(
            returned_.last->shots, [&](const LastCut::Shot& shot) { return shot.action && shot.id == id; });
        return at == returned_.last->shots.end() ? nullptr : &*at;
    }

    // The take without action of which it shows most.
    std::optional<std::size_t> plain_take(const Shown& shown) const {
        const SourceCount count = count_source(problem_.log.media[*shown.media], rate_);
        const double in_s = count.media_s(static_cast<double>(shown.source().in.n));
        const double out_s = count.media_s(static_cast<double>(shown.source().out.n));
        std::optional<std::size_t> best;
        double most = 0;
        for (std::size_t t = 0; t < problem_.log.takes.size(); ++t) {
            const Take& take = problem_.log.takes[t];
            if (take.media != shown.media || take.kind == Kind::action || take.kind == Kind::sound ||
                take.use == Use::never)
                continue;
            const double shared = std::min(out_s, take.out_s) - std::max(in_s, take.in_s);
            if (shared > most) {
                most = shared;
                best = t;
            }
        }
        return best;
    }

    PlannedShot plan_of(const Shown& shown, std::size_t take) const {
        PlannedShot plan;
        plan.take = take;
        plan.record = shown.record();
        plan.source_in = shown.source().in;
        plan.speed = shown.runs.front().speed;
        return plan;
    }

    void tell_action(const Shown& shown, std::size_t take_index, std::size_t impact, ListedShot& shot) const {
        const Take& take = problem_.log.takes[take_index];
        shot.take = take_index;
        shot.id = shot.contact = take.impacts[impact].id;
        const Hit hit = hit_of(shown, take, impact);
        shot.beat_s = beat_s(hit);
        shot.speed = shown.runs.front().speed;
        if (shown.retimed_by_parts()) {
            for (const Run& run : shown.runs)
                shot.speed = std::min(shot.speed, run.speed);
            shot.held = held_in(shown, take, impact).size();
        }
        if (!shown.at_a_speed_of_ours) {
            shot.why_not = "runs at a speed that a cut does not have";
            return;
        }
        shot.plan = plan_of(shown, take_index);
        shot.plan->id = shot.id;
        if (!on_beat(hit)) return put_on_beat(shown, take, impact, hit, shot);
        if (shown.retimed_by_parts())
            hold_rally(shown, take, impact, *shot.plan);
        else
            shot.plan->anchors = {anchor(impact, hit)};
    }

    Anchor anchor(std::size_t impact, const Hit& hit) const {
        return {impact, hit.beat, hit.error / rate_.per_second()};
    }

    // Keeps its place on the record, and its picture is slipped so that the contact meets the nearest beat which a
    // lead allows.
    void put_on_beat(const Shown& shown, const Take& take, std::size_t impact, const Hit& hit,
                     ListedShot& shot) const {
        std::string off = fmt::format("its contact is {:.1f} frames {} the nearest beat", std::abs(hit.error),
                                      hit.error > 0 ? "behind" : "ahead of");
        const double contact = position(take, impact), speed = shown.runs.front().speed.to_double();
        const auto in = static_cast<double>(shot.record.in.n);
        std::optional<Hit> nearest;
        for (std::size_t b = 0; b < problem_.beats.beats.size() && !shown.retimed_by_parts(); ++b) {
            const double at = beat_frames(b), error = shown.record_of(contact) - at;
            if (lead_allowed(at - in) && (!nearest || std::abs(error) < std::abs(nearest->error)))
                nearest = {b, error};
        }
        if (!nearest) {
            shot.plan.reset();
            shot.why_not = off;
            return;
        }
        const double at = beat_frames(nearest->beat);
        const Frame slipped{std::llround(contact - (at - in) * speed)};
        const auto by = (slipped - shot.plan->source_in).n;
        shot.slipped = fmt::format("{}: slipped by {} frame{} to meet one", off, std::abs(by),
                                   std::abs(by) == 1 ? "" : "s");
        constexpr double perhaps_meant = 4; // frames
        if (std::abs(hit.error) <= perhaps_meant)
            shot.slipped +=
                fmt::format("; if the picture was right, write {:.3f} in place of {:.3f} in column "
                            "contacts of {}",
                            take.impacts[impact].sound_s - hit.error * speed / rate_.per_second(),
                            take.impacts[impact].sound_s, take.id);
        shot.plan->source_in = slipped;
        const double shown_at = in + (contact - static_cast<double>(slipped.n)) / speed;
        shot.plan->anchors = {anchor(impact, {nearest->beat, shown_at - at})};
    }

    double beat_frames(std::size_t beat) const {
        return (problem_.beats.beats[beat].seconds - problem_.song_start_s) * rate_.per_second();
    }
    double beat_s(const Hit& hit) const { return beat_frames(hit.beat) / rate_.per_second(); }
    bool lead_allowed(double frames) const {
        const Pacing& pacing = problem_.limits.pacing;
        const auto lead = nearest_frame(frames / rate_.per_second(), rate_);
        return lead >= nearest_frame(pacing.lead_in_min_s, rate_) &&
               lead <= nearest_frame(pacing.lead_in_max_s, rate_);
    }

    // The contacts of a rally that the list holds on beats: those from joint to joint, or more if the last cut held more
    // there, since a joint between parts of one speed cannot be seen.
    std::vector<std::size_t> held_in(const Shown& shown, const Take& take, std::size_t first) const {
        std::vector<std::size_t> contacts;
        std::size_t held = 1;
        for (std::size_t i = first; i < take.impacts.size(); ++i) {
            if (take.impacts[i].confidence < problem_.limits.variety.confidence_floor ||
                !shown.shows(position(take, i)))
                continue;
            contacts.push_back(i);
            const bool joint = std::ranges::any_of(shown.runs, [&](const Run& run) {
                return std::abs(position(take, i) - static_cast<double>(run.source.in.n)) <= 1 + hair;
            });
            if (joint) held = contacts.size();
        }
        if (const auto* before = was_cut(take.impacts[first].id)) held = std::max(held, before->held);
        contacts.resize(std::min(held, contacts.size()));
        return contacts;
    }

    void hold_rally(const Shown& shown, const Take& take, std::size_t first, PlannedShot& plan) const {
        plan.speed = Fraction(1);
        for (const Run& run : shown.runs) {
            plan.stretches.push_back({run.record, run.source});
            plan.speed = std::min(plan.speed, run.speed);
        }
        for (const std::size_t contact : held_in(shown, take, first))
            plan.anchors.push_back(anchor(contact, hit_of(shown, take, contact)));
    }

    const Returned& returned_;
    const solve::Problem& problem_;
    Rate rate_;
};

} // namespace

Frame cut_length(const solve::Problem& problem) {
    const double rest_s = problem.beats.duration_s - problem.song_start_s;
    return frame_at(std::min(problem.limits.delivery.length_s.value_or(rest_s), rest_s),
                    problem.limits.delivery.rate);
}

Result<std::vector<ListedShot>> listed_shots(const Returned& returned) {
    const Rate rate = returned.problem.limits.delivery.rate;
    if (returned.list.rate != rate)
        return Error{Fault::bad_input,
                     fmt::format("the list runs at {} frames a second, the job at {}; export it at the job's "
                                 "rate, or say the list's in delivery.rate",
                                 to_string(returned.list.rate), to_string(rate)),
                     ""};
    // One picture at least for each, so that a list of something else ends here and not after hours.
    const auto most = cut_length(returned.problem).n;
    const auto events = std::ranges::count_if(returned.list.events, [&](const read::ListedEvent& event) {
        return returned.list.tracks[event.track].picture && !event.black;
    });
    if (events > most)
        return Error{Fault::bad_input,
                     fmt::format("the list has {} picture events, the cut {} frames; give a list of this job",
                                 events, most),
                     ""};
    const Teller teller(returned);
    std::vector<ListedShot> shots;
    for (const Shown& shown : shown_in_list(returned))
        shots.push_back(teller.tell(shown));
    return shots;
}

} // namespace downball::pipeline
