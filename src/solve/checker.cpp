// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/judged_rally.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <map>

// The judge: every limit once more, from problem and plan alone.
namespace downball::solve {
namespace {

class Judge : JudgedCut {
  public:
    Judge(const Problem& problem, const CutPlan& plan)
        : JudgedCut(problem, plan), judged_rally_(problem, plan), of_shot_(plan.shots.size()) {}

    std::vector<std::string> run() {
        if (!indices_hold()) return all();
        length_and_tiling();
        one_by_one();
        ids();
        quotas();
        others();
        shares();
        musts();
        locks();
        return all();
    }

    // `open` by shot: where it ends is not settled.
    std::vector<std::vector<std::string>> run_each(const std::vector<bool>& open) {
        open_ = open;
        whole_ = false;
        if (indices_hold()) one_by_one();
        return std::move(of_shot_);
    }

  private:
    template <class... Args>
    void breach(std::size_t n, const char* form, Args&&... args) {
        of_shot_[n].push_back(fmt::format(fmt::runtime(form), std::forward<Args>(args)...));
    }

    std::vector<std::string> all() {
        std::vector<std::string> told;
        for (std::size_t n = 0; n < of_shot_.size(); ++n)
            for (const std::string& words : of_shot_[n])
                told.push_back(fmt::format("shot {} ({}): {}", n + 1, shot(n).id, words));
        told.insert(told.end(), breaches_.begin(), breaches_.end());
        return told;
    }

    // Numbers tell places in a whole cut alone.
    std::string called(std::size_t n) const {
        return whole_ ? fmt::format("shot {}", n + 1) : fmt::format("shot {}", shot(n).id);
    }
    bool open(std::size_t n) const { return n < open_.size() && open_[n]; }

    // Limits of single shots and of two.
    void one_by_one() {
        for (std::size_t n = 0; n < plan_.shots.size(); ++n) {
            pace(n);
            source(n);
            speed(n);
            if (take(n).kind == Kind::action)
                action(n);
            else
                border(n);
            use(n);
        }
        for (std::size_t b = 1; b < plan_.shots.size(); ++b)
            for (std::size_t a = 0; a < b; ++a)
                pair(a, b);
    }

    bool indices_hold() {
        if (plan_.shots.empty()) breaches_.push_back("the cut has no shots");
        if (plan_.song_start_s != problem_.song_start_s)
            breaches_.push_back(fmt::format("the cut starts the song at {} s, the job at {} s",
                                            plan_.song_start_s, problem_.song_start_s));
        for (std::size_t n = 0; n < plan_.shots.size(); ++n) {
            if (shot(n).take >= problem_.log.takes.size() || take(n).media >= problem_.log.media.size())
                breach(n, "its take is not in the log");
            else if (!stretches_hold(shot(n)))
                breach(n, "is in stretches that do not follow one another from its first frame to its last");
            else if (shot(n).speed <= Fraction(0) || shot(n).record.empty())
                breach(n, "has no length or no speed");
            else
                for (const Anchor& anchor : shot(n).anchors)
                    if (anchor.impact >= take(n).impacts.size() || anchor.beat >= problem_.beats.beats.size())
                        breach(n, "is anchored on a contact or beat that does not exist");
        }
        return breaches_.empty() &&
               std::all_of(of_shot_.begin(), of_shot_.end(), [](const auto& words) { return words.empty(); });
    }

    void length_and_tiling() {
        double rest = problem_.beats.duration_s - problem_.song_start_s;
        double wanted = std::min(limits_.delivery.length_s.value_or(rest), rest);
        if (plan_.length.n != frames_down(wanted))
            breaches_.push_back(
                fmt::format("the cut is {} frames long, {} are wanted", plan_.length.n, frames_down(wanted)));
        Frame at{0};
        for (std::size_t n = 0; n < plan_.shots.size(); ++n) {
            if (shot(n).record.in != at)
                breach(n, "begins at record frame {}, the shots before end at {}", shot(n).record.in.n, at.n);
            at = shot(n).record.out;
        }
        if (at != plan_.length)
            breaches_.push_back(
                fmt::format("the last shot ends at record frame {}, the cut at {}", at.n, plan_.length.n));
    }

    void pace(std::size_t n) {
        std::int64_t length = shot(n).record.length().n;
        std::int64_t shortest = std::max<std::int64_t>(1, frames_up(limits_.pacing.shortest_s));
        std::int64_t longest = frames_down(limits_.pacing.longest_s);
        bool plain = take(n).kind != Kind::action;
        for (auto [its, seconds] : {std::pair{plain, limits_.pacing.shortest_cutaway_s},
                                    std::pair{slow(n), limits_.pacing.shortest_slow_s}})
            if (its) shortest = std::max(shortest, std::min(frames_up(seconds), longest));
        if (length < shortest && !open(n)) breach(n, "lasts {} frames, shortest is {}", length, shortest);
        if (length > longest) breach(n, "lasts {} frames, longest is {}", length, longest);
    }

    void source(std::size_t n) {
        double out_s = take(n).out_s;
        if (media(n).duration_s > 0) out_s = std::min(out_s, media(n).duration_s);
        std::int64_t first = frames_up(take(n).in_s + phase_s(n)) + limits_.pacing.handle_frames;
        std::int64_t last = frames_down(out_s + phase_s(n)) - limits_.pacing.handle_frames;
        if (shot(n).source_in.n < first || source_end(n) > last)
            breach(n, "shows source frames {} to {}, its take with handles has {} to {}", shot(n).source_in.n,
                   source_end(n), first, last);
    }

    static bool stretches_hold(const PlannedShot& shot) {
        Frame record = shot.record.in, source = shot.source_in;
        for (const Stretch& stretch : shot.stretches) {
            if (stretch.record.in != record || stretch.source.in != source || stretch.record.empty() ||
                stretch.source.empty())
                return false;
            record = stretch.record.out;
            source = stretch.source.out;
        }
        return shot.stretches.empty() || record == shot.record.out;
    }

    void speed(std::size_t n) {
        if (is_rally(n)) {
            for (const std::string& words : judged_rally_.breaches(n))
                breach(n, "{}", words);
            return;
        }
        if (shot(n).speed == Fraction(1)) return;
        bool fast_camera =
            media(n).rate && Fraction(10) * media(n).rate->value() >= Fraction(19) * rate_.value();
        if (take(n).kind != Kind::action)
            breach(n, "is retimed but is no action");
        else if (!fast_camera || shot(n).speed != rate_.value() / media(n).rate->value())
            breach(n, "runs at speed {}/{}: neither real time nor every picture once", shot(n).speed.num(),
                   shot(n).speed.den());
        if (shot(n).speed.to_double() < limits_.variety.slowest - 0.0005)
            breach(n, "runs at {:.4f} of real time, slowest is {:.4f}", shot(n).speed.to_double(),
                   limits_.variety.slowest);
    }

    void action(std::size_t n) {
        if (shot(n).anchors.empty()) {
            breach(n, "is an action without a contact on a beat");
            return;
        }
        std::int64_t tail = std::max<std::int64_t>(1, frames_up(limits_.pacing.tail_s));
        for (const Anchor& anchor : shot(n).anchors) {
            const Impact& impact = take(n).impacts[anchor.impact];
            double beat = record_frames(problem_.beats.beats[anchor.beat].seconds);
            double error = contact_record(n, anchor.impact) - beat;
            if (!sure(impact))
                breach(n, "is anchored on contact {} of confidence {:.2f}", impact.id, impact.confidence);
            if (std::abs(error) > 0.5 + hair)
                breach(n, "contact {} is {:+.3f} frames off its beat", impact.id, error);
            if (std::abs(error - anchor.error_s * fps_) > 1e-3)
                breach(n, "states an error of {:+.3f} frames, it is {:+.3f}", anchor.error_s * fps_, error);
            std::int64_t at = frames_near(beat / fps_);
            if (!shot(n).record.contains(Frame{at}))
                breach(n, "does not contain the beat of contact {}", impact.id);
            if (at + tail > shot(n).record.out.n && !open(n))
                breach(n, "ends {} frames after contact {}, tail is {}", shot(n).record.out.n - at, impact.id,
                       tail);
        }
        if (double over = after_last_contact(n) - longest_tail(); take(n).size != Size::wide && over > hair)
            breach(n, "runs on for {:.2f} frames after its last contact, at most {:.2f} are allowed",
                   over + longest_tail(), longest_tail());
        std::int64_t least = frames_near(limits_.pacing.lead_in_min_s);
        std::int64_t most = frames_near(limits_.pacing.lead_in_max_s);
        if (!is_rally(n)) most = std::max(most, least + ceil(Fraction(1) / shot(n).speed) - 1);
        double beat = record_frames(problem_.beats.beats[shot(n).anchors.front().beat].seconds);
        std::int64_t lead = frames_near(beat / fps_) - shot(n).record.in.n;
        if (lead < least || (lead > most && shot(n).record.in.n > 0))
            breach(n, "leads in {} frames, {} to {} are allowed", lead, least, most);
    }

    void border(std::size_t n) {
        if (!shot(n).anchors.empty()) breach(n, "is no action but anchored");
        std::int64_t in = shot(n).record.in.n;
        if (in == 0) return;
        const auto& beats = problem_.beats.beats;
        bool bars = limits_.pacing.cut_on == CutOn::bar &&
                    std::any_of(beats.begin(), beats.end(), [](const Beat& b) { return b.position == 1; });
        for (std::size_t b = 0; b < beats.size(); ++b) {
            double here = record_frames(beats[b].seconds);
            if ((!bars || beats[b].position == 1) && frames_near(here / fps_) == in) return;
            if (limits_.pacing.cut_on != CutOn::half_beat || b + 1 == beats.size()) continue;
            double half = (here + record_frames(beats[b + 1].seconds)) / 2;
            if (frames_near(half / fps_) == in) return;
        }
        breach(n, "begins at record frame {}, which is no place to cut", in);
    }

    void use(std::size_t n) {
        if (take(n).use == Use::never) breach(n, "take {} is never to be used", take(n).id);
        if (take(n).kind == Kind::sound) breach(n, "take {} is for its sound only", take(n).id);
        for (std::size_t impact : held(n))
            if (limits_.bans.contains(take(n).impacts[impact].id))
                breach(n, "holds contact {}, which is banned", take(n).impacts[impact].id);
    }

    void pair(std::size_t a, std::size_t b) {
        if (take(a).media == take(b).media && shot(a).source_in.n < source_end(b) &&
            shot(b).source_in.n < source_end(a))
            breach(b, "shows source frames that {} shows as well", called(a));
        bool actions = take(a).kind == Kind::action && take(b).kind == Kind::action;
        if (shot(a).take == shot(b).take && actions)
            for (std::size_t impact : held(a))
                if (holds(b, impact)) breach(b, "hangs on the same contact as {}", called(a));
        if (limits_.story.order == Order::chronological) order(a, b);
        if (take(a).moment.empty() || take(a).moment != take(b).moment) return;
        if (is_reaction(take(a).kind) && take(b).kind == Kind::action)
            breach(b, "is an action of moment {} after its reaction in {}", take(b).moment, called(a));
        if (!actions || shot(a).take == shot(b).take || !same_contact(a, b)) return;
        if (!limits_.variety.replays)
            breach(b, "shows a contact that {} shows from another camera", called(a));
        else if (take(a).camera == take(b).camera && take(a).angle == take(b).angle &&
                 edge_speed(a) == edge_speed(b))
            breach(b, "replays {} with the same camera, angle and speed", called(a));
    }

    void order(std::size_t a, std::size_t b) {
        if (day_of(take(b)) < day_of(take(a))) breach(b, "goes back in the day, behind {}", called(a));
        if (!limits_.variety.replays && played_before(b, a))
            breach(b, "goes back in the rally, behind {}", called(a));
    }

    void ids() {
        std::map<std::size_t, int> ordinals;
        for (std::size_t n = 0; n < plan_.shots.size(); ++n) {
            std::string wanted;
            if (take(n).kind != Kind::action)
                wanted = fmt::format("{}@{}", take(n).id, ++ordinals[shot(n).take]);
            else if (!shot(n).anchors.empty())
                wanted = take(n).impacts[shot(n).anchors.front().impact].id;
            if (shot(n).id != wanted) breach(n, "should have the id {}", wanted);
        }
    }

    void bounds(const std::string& what, const Bounds& wanted, std::int64_t has) {
        if (has < wanted.at_least)
            breaches_.push_back(fmt::format("{} {}, at least {} wanted", has, what, wanted.at_least));
        if (wanted.at_most && has > *wanted.at_most)
            breaches_.push_back(fmt::format("{} {}, at most {} wanted", has, what, *wanted.at_most));
    }

    std::int64_t count(const auto& is) const {
        std::int64_t has = 0;
        for (std::size_t n = 0; n < plan_.shots.size(); ++n)
            has += is(n) ? 1 : 0;
        return has;
    }

    void quotas() {
        for (const auto& [player, wanted] : limits_.variety.players)
            bounds("shots of player " + player, wanted, count([&, name = player](std::size_t n) {
                       return std::count(take(n).players.begin(), take(n).players.end(), name) > 0;
                   }));
        for (const auto& [skill, wanted] : limits_.variety.skills)
            bounds(fmt::format("action shots that show '{}'", to_string(skill)), wanted,
                   count([&, which = skill](std::size_t n) {
                       auto shown = skills_shown(n);
                       return std::count(shown.begin(), shown.end(), which) > 0;
                   }));
    }

    void others() {
        for (const OtherCut& other : limits_.others) {
            const auto shared = count([&](std::size_t n) {
                return take(n).kind == Kind::action ? other.contacts.contains(shot(n).id)
                                                    : other.takes.contains(take(n).id);
            });
            const double most = other.shared_share_max * static_cast<double>(plan_.shots.size());
            if (static_cast<double>(shared) > most + hair)
                breaches_.push_back(
                    fmt::format("{} of {} shots are shared with {}, at most {:.1f} % are allowed", shared,
                                plan_.shots.size(), other.name, other.shared_share_max * 100));
        }
    }

    void share(const std::string& what, double most, const auto& is) {
        std::int64_t frames = 0;
        for (std::size_t n = 0; n < plan_.shots.size(); ++n)
            if (is(n)) frames += shot(n).record.length().n;
        if (static_cast<double>(frames) > most * static_cast<double>(plan_.length.n) + hair)
            breaches_.push_back(fmt::format("{} fill {} of {} frames, at most {:.1f} % are allowed", what,
                                            frames, plan_.length.n, most * 100));
    }

    void shares() {
        share("slow-motion shots", limits_.variety.slow_motion_share_max, [&](auto n) { return slow(n); });
        share("cutaways", limits_.variety.cutaway_share_max,
              [&](auto n) { return is_cutaway(take(n).kind); });
        share("reactions", limits_.variety.reaction_share_max,
              [&](auto n) { return is_reaction(take(n).kind); });
    }

    void musts() {
        for (std::size_t t = 0; t < problem_.log.takes.size(); ++t)
            if (problem_.log.takes[t].use == Use::must &&
                count([&](std::size_t n) { return shot(n).take == t; }) == 0)
                breaches_.push_back(fmt::format("take {} must be used and is not", problem_.log.takes[t].id));
    }

    void locks() {
        for (const Lock& lock : limits_.locks) {
            auto at = std::find_if(plan_.shots.begin(), plan_.shots.end(),
                                   [&](const PlannedShot& s) { return s.id == lock.shot; });
            if (at == plan_.shots.end())
                breaches_.push_back(fmt::format("shot {} is locked and is not in the cut", lock.shot));
            else if ((lock.record_in && at->record.in != *lock.record_in) ||
                     (lock.source_in && at->source_in != *lock.source_in))
                breaches_.push_back(fmt::format("shot {} is locked elsewhere", lock.shot));
            else if (const auto n = static_cast<std::size_t>(at - plan_.shots.begin());
                     lock.held > 0 && !at->anchors.empty() &&
                     held(n).size() != static_cast<std::size_t>(lock.held))
                breaches_.push_back(fmt::format("shot {} holds {} contacts and is locked with {}", lock.shot,
                                                held(n).size(), lock.held));
        }
    }

    JudgedRally judged_rally_;
    std::vector<std::string> breaches_; // of the cut as a whole
    std::vector<std::vector<std::string>> of_shot_;
    std::vector<bool> open_;
    bool whole_ = true;
};

} // namespace

std::vector<std::string> check(const Problem& problem, const CutPlan& plan) {
    return Judge(problem, plan).run();
}

std::vector<std::vector<std::string>> check_each(const Problem& problem, const CutPlan& shots,
                                                 const std::vector<bool>& open) {
    return Judge(problem, shots).run_each(open);
}

} // namespace downball::solve
