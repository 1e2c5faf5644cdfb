// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "pipeline/listed_shots.h"

#include "downball/model/m2.h"
#include "downball/model/source_count.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <map>

namespace downball::pipeline {
namespace {

using read::ListedEvent;

constexpr double hair = 1e-4; // frames

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

// A run of one shot at one speed. Source frames count from the file's start label.
struct Run {
    FrameRange record, source;
    Fraction speed{1};
};

// What an event, or several that are one shot, says.
struct Shown {
    std::size_t media = 0;
    std::vector<Run> runs;
    std::string told; // our id, by metadata or a marker; may be that of another place by now
    std::string called;
    bool at_a_speed_of_ours = true;

    FrameRange record() const { return {runs.front().record.in, runs.back().record.out}; }
    Frame source_in() const { return runs.front().source.in; }
    bool retimed_by_parts() const { return runs.size() > 1; }
    bool shows(double source) const {
        return source >= static_cast<double>(source_in().n) - hair &&
               source < static_cast<double>(runs.back().source.out.n) - hair;
    }
    // Record frames at which it shows a source position.
    double record_of(double source) const {
        auto run = std::find_if(runs.begin(), runs.end() - 1,
                                [&](const Run& r) { return source < static_cast<double>(r.source.out.n); });
        return static_cast<double>(run->record.in.n) +
               (source - static_cast<double>(run->source.in.n)) / run->speed.to_double();
    }
};

// "attack? T016#3530" -> "T016#3530"
std::string id_in(const std::string& marker) {
    const auto blank = marker.find_last_of(' ');
    const std::string word = blank == std::string::npos ? marker : marker.substr(blank + 1);
    return word.find('#') == std::string::npos ? std::string() : word;
}

class Reader {
  public:
    explicit Reader(const Returned& returned)
        : returned_(returned), problem_(returned.problem), list_(returned.list),
          rate_(returned.problem.limits.delivery.rate), files_(returned) {}

    std::vector<ListedShot> run() {
        find_zero();
        for (const ListedEvent* event : pictures()) {
            const auto media = files_.of(*event);
            if (!media || *media == Files::song() || event->speed <= 0)
                add_foreign(*event);
            else
                add_event(*event, *media);
        }
        close();
        return std::move(shots_);
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
        ListedShot shot;
        shot.record = record_of(event);
        shot.called = event.file.empty() ? event.reel : event.file;
        shot.why_not = event.speed <= 0 ? "does not run forwards" : "is not of this log";
        shots_.push_back(std::move(shot));
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
        open_ = Shown{media, {run}, told, event.file.empty() ? event.reel : event.file, speed.has_value()};
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
        if (open_) shots_.push_back(tell(*open_));
        open_.reset();
    }

    ListedShot tell(Shown& shown) const {
        join_runs(shown);
        ListedShot shot;
        shot.record = shown.record();
        shot.called = shown.called;
        shot.told = shown.told;
        const auto contact = contact_of(shown);
        const auto take = plain_take(shown);
        const bool told_plain = take && shown.told.starts_with(problem_.log.takes[*take].id + "@");
        if (contact && !told_plain)
            tell_action(shown, contact->first, contact->second, shot);
        else if (take) {
            shot.take = take;
            shot.beat_s = nearest_beat_s(static_cast<double>(shot.record.in.n));
            if (!shown.at_a_speed_of_ours || shown.retimed_by_parts() ||
                shown.runs.front().speed != Fraction(1))
                shot.why_not = "runs at another speed than real time";
            else
                shot.plan = plan_of(shown, *take);
        } else
            shot.why_not = "shows no contact that the log has, and is of no take without action";
        return shot;
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

    struct Hit {
        std::size_t beat = 0;
        double error = 0; // record frames; positive = picture late
    };
    // The nearest beat to where the shot shows the contact.
    Hit hit_of(const Shown& shown, const Take& take, std::size_t impact) const {
        const double record = shown.record_of(position(take, impact));
        Hit nearest{0, 1e9};
        for (std::size_t b = 0; b < problem_.beats.beats.size(); ++b) {
            const double error = record - beat_frames(b);
            if (std::abs(error) < std::abs(nearest.error)) nearest = {b, error};
        }
        return nearest;
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
        const SourceCount count = count_source(problem_.log.media[shown.media], rate_);
        const double in_s = count.media_s(static_cast<double>(shown.source_in().n));
        const double out_s = count.media_s(static_cast<double>(shown.runs.back().source.out.n));
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
        plan.source_in = shown.source_in();
        plan.speed = shown.runs.front().speed;
        return plan;
    }

    void tell_action(const Shown& shown, std::size_t take_index, std::size_t impact, ListedShot& shot) const {
        const Take& take = problem_.log.takes[take_index];
        shot.take = take_index;
        shot.id = shot.contact = take.impacts[impact].id;
        const Hit hit = hit_of(shown, take, impact);
        shot.beat_s = beat_frames(hit.beat) / rate_.per_second();
        if (!shown.retimed_by_parts())
            shot.speed = shown.runs.front().speed;
        else if (const auto* before = was_cut(shot.id)) {
            shot.held = before->held;
            shot.speed = before->speed;
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

    double nearest_beat_s(double record) const {
        double nearest = record, away = 1e9;
        for (std::size_t b = 0; b < problem_.beats.beats.size(); ++b)
            if (std::abs(beat_frames(b) - record) < away) {
                nearest = beat_frames(b);
                away = std::abs(nearest - record);
            }
        return nearest / rate_.per_second();
    }
    double beat_frames(std::size_t beat) const {
        return (problem_.beats.beats[beat].seconds - problem_.song_start_s) * rate_.per_second();
    }
    bool lead_allowed(double frames) const {
        const Pacing& pacing = problem_.limits.pacing;
        const auto lead = nearest_frame(frames / rate_.per_second(), rate_);
        return lead >= nearest_frame(pacing.lead_in_min_s, rate_) &&
               lead <= nearest_frame(pacing.lead_in_max_s, rate_);
    }

    // As many contacts as the last cut held there; else those from joint to joint.
    void hold_rally(const Shown& shown, const Take& take, std::size_t first, PlannedShot& plan) const {
        plan.speed = Fraction(1);
        for (const Run& run : shown.runs) {
            plan.stretches.push_back({run.record, run.source});
            plan.speed = std::min(plan.speed, run.speed);
        }
        std::vector<std::size_t> contacts;
        std::size_t joints = 1;
        for (std::size_t i = first; i < take.impacts.size(); ++i) {
            if (take.impacts[i].confidence < problem_.limits.variety.confidence_floor ||
                !shown.shows(position(take, i)))
                continue;
            contacts.push_back(i);
            const bool joint = std::ranges::any_of(shown.runs, [&](const Run& run) {
                return std::abs(position(take, i) - static_cast<double>(run.source.in.n)) <= 1 + hair;
            });
            if (joint) joints = contacts.size();
        }
        const auto* before = was_cut(plan.id);
        const std::size_t held = before && before->held > 1 ? before->held : joints;
        for (std::size_t n = 0; n < std::min(held, contacts.size()); ++n)
            plan.anchors.push_back(anchor(contacts[n], hit_of(shown, take, contacts[n])));
    }

    const Returned& returned_;
    const solve::Problem& problem_;
    const read::CutList& list_;
    Rate rate_;
    Files files_;
    Frame zero_{0};
    std::optional<Shown> open_;
    std::string open_shot_;
    std::vector<ListedShot> shots_;
};

} // namespace

Result<std::vector<ListedShot>> listed_shots(const Returned& returned) {
    const Rate rate = returned.problem.limits.delivery.rate;
    if (returned.list.rate != rate)
        return Error{Fault::bad_input,
                     fmt::format("the list runs at {} frames a second, the job at {}; export it at the job's "
                                 "rate, or say the list's in delivery.rate",
                                 to_string(returned.list.rate), to_string(rate)),
                     ""};
    // One picture at least for each, so that a list of something else ends here and not after hours.
    const double rest_s = returned.problem.beats.duration_s - returned.problem.song_start_s;
    const auto most =
        frame_at(std::min(returned.problem.limits.delivery.length_s.value_or(rest_s), rest_s), rate).n;
    const auto events = std::ranges::count_if(returned.list.events, [&](const ListedEvent& event) {
        return returned.list.tracks[event.track].picture && !event.black;
    });
    if (events > most)
        return Error{Fault::bad_input,
                     fmt::format("the list has {} picture events, the cut {} frames; give a list of this job",
                                 events, most),
                     ""};
    return Reader(returned).run();
}

} // namespace downball::pipeline
