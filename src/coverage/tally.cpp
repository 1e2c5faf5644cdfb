// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "coverage/gaps.h"

#include "downball/base/text.h"
#include "downball/coverage/coverage.h"
#include "downball/match/starts.h"

#include <algorithm>
#include <functional>
#include <set>
#include <tuple>

namespace downball::coverage {
namespace {

using Words = std::vector<std::string>;

bool usable(const Take& take) {
    return take.use != Use::never && take.kind != Kind::sound;
}

// The rates of the two may be a little off what their names say.
bool slow_motion(const Take& take, const MediaInfo& media, Rate list) {
    const double shown = media.rate ? media.rate->per_second() : media.average_fps;
    return (take.capture_fps && *take.capture_fps > 1.05 * (shown > 0 ? shown : list.per_second())) ||
           shown > 1.9 * list.per_second();
}

void add_skills(const Impact& impact, std::set<Skill>& skills) {
    if (impact.skill) skills.insert(*impact.skill);
    if (impact.with_block) skills.insert(Skill::block);
}

// Of a take, or of one shot of it: those of the contacts that it holds, where the log knows them.
Words skills_of(const Take& take, const LastCut::Shot* shot) {
    if (take.kind != Kind::action) return {};
    std::set<Skill> all;
    if (shot) {
        const auto first = std::ranges::find(take.impacts, shot->id, &Impact::id);
        for (std::size_t n = 0; n < shot->held && first + static_cast<std::ptrdiff_t>(n) < take.impacts.end();
             ++n)
            add_skills(first[static_cast<std::ptrdiff_t>(n)], all);
    }
    if (all.empty()) {
        all.insert(take.skills.begin(), take.skills.end());
        for (const Impact& impact : take.impacts)
            add_skills(impact, all);
    }
    Words names;
    for (const Skill skill : all)
        names.emplace_back(to_string(skill));
    return names;
}

Words one(std::string_view word) {
    return word.empty() ? Words{} : Words{std::string(word)};
}

bool is_face(const Take& take) {
    return take.kind == Kind::reaction || take.kind == Kind::celebration;
}

class Tally {
  public:
    explicit Tally(const Footage& footage) : footage_(footage) {
        std::map<std::string, std::size_t> by_id;
        for (std::size_t t = 0; t < footage.log.takes.size(); ++t)
            by_id.emplace(footage.log.takes[t].id, t);
        shots_.resize(footage.log.takes.size());
        if (!footage.cut) return;
        for (const LastCut::Shot& shot : footage.cut->shots)
            if (const auto at = by_id.find(shot.take); at != by_id.end()) shots_[at->second].push_back(&shot);
    }

    // Of the takes for which it holds.
    Count count(const std::function<bool(const Take&)>& is) const {
        Count sum;
        for (std::size_t t = 0; t < takes().size(); ++t) {
            if (!usable(takes()[t]) || !is(takes()[t])) continue;
            add_take(sum, t);
            for (const auto* shot : shots_[t])
                add_shot(sum, *shot);
        }
        return sum;
    }

    // What a take is counted under, or a shot of it.
    using Tags = std::function<Words(const Take&, const LastCut::Shot*)>;
    struct Side {
        std::string tag;
        Words given; // come first; others that takes have follow in the order of their names
        Tags of;
    };
    Grid grid(const std::string& name, const Side& rows, const Side& columns) const {
        Grid grid{name, rows.tag, columns.tag, rows.given, columns.given, {}, true};
        std::set<std::string> more_rows, more_columns;
        for (const Take& take : takes()) {
            const Words in_rows = rows.of(take, nullptr), in_columns = columns.of(take, nullptr);
            if (!usable(take) || in_rows.empty() || in_columns.empty()) continue;
            more_rows.insert(in_rows.begin(), in_rows.end());
            more_columns.insert(in_columns.begin(), in_columns.end());
        }
        add_others(grid.rows, more_rows);
        add_others(grid.columns, more_columns);
        grid.cells.resize(grid.rows.size() * grid.columns.size());
        const auto each = [&](const Take& take, const LastCut::Shot* shot, const auto& add) {
            for (const std::string& row : rows.of(take, shot))
                for (const std::string& column : columns.of(take, shot))
                    add(grid.cells[place(grid.rows, row) * grid.columns.size() +
                                   place(grid.columns, column)]);
        };
        for (std::size_t t = 0; t < takes().size(); ++t) {
            if (!usable(takes()[t])) continue;
            each(takes()[t], nullptr, [&](Count& cell) { add_take(cell, t); });
            for (const auto* shot : shots_[t])
                each(takes()[t], shot, [&](Count& cell) { add_shot(cell, *shot); });
        }
        return grid;
    }

  private:
    const std::vector<Take>& takes() const { return footage_.log.takes; }
    void add_take(Count& sum, std::size_t t) const {
        ++sum.takes;
        sum.take_s += takes()[t].out_s - takes()[t].in_s;
    }
    void add_shot(Count& sum, const LastCut::Shot& shot) const {
        ++sum.shots;
        const double frame_s = footage_.cut->frame_s;
        sum.shot_s += frame_s > 0 ? static_cast<double>(shot.record.length().n) * frame_s
                                  : to_seconds(shot.record.length(), footage_.limits.delivery.rate);
    }
    static void add_others(Words& words, const std::set<std::string>& more) {
        const Words given = words;
        for (const std::string& word : more)
            if (std::ranges::find(given, word) == given.end()) words.push_back(word);
    }
    static std::size_t place(const Words& words, const std::string& word) {
        return static_cast<std::size_t>(std::ranges::find(words, word) - words.begin());
    }

    const Footage& footage_;
    std::vector<std::vector<const LastCut::Shot*>> shots_; // by take
};

// What a cutaway shows, by its note; nobody has looked at one whose kind is guessed and nothing else said.
std::string subject(const Take& take) {
    std::string_view text = trim(take.note);
    if (text.starts_with(kind_guessed)) {
        text.remove_prefix(kind_guessed.size());
        constexpr std::string_view silent = ", no sound";
        if (text.starts_with(silent)) text.remove_prefix(silent.size());
        text.remove_prefix(std::min(text.find_first_not_of(" \t,;.:"), text.size()));
    }
    return text.empty() ? "not said" : std::string(text);
}

std::vector<Rally> rallies(const std::vector<Take>& takes) {
    const auto starts = match::rally_starts(takes);
    using Key = std::tuple<int, int, int, std::string, std::string, std::string>;
    std::map<Key, Rally> found;
    for (std::size_t t = 0; t < takes.size(); ++t) {
        const Take& take = takes[t];
        if (!starts[t] || !usable(take)) continue;
        const auto& [set, score] = *starts[t];
        const Key key{set, score.a + score.b, score.a, take.left, take.serving, take.server};
        Rally& rally =
            found.emplace(key, Rally{set, score, take.left, take.serving, take.server, {}}).first->second;
        rally.takes.push_back(take.id);
    }
    std::vector<Rally> in_order;
    for (auto& [key, rally] : found)
        in_order.push_back(std::move(rally));
    return in_order;
}

template <class Range>
Words filled(const Range& words) { // the first of a list of tags may mean "not known"
    Words all;
    for (const std::string& word : words)
        if (!word.empty()) all.push_back(word);
    return all;
}

} // namespace

Coverage cover(const Footage& footage) {
    const Tally tally(footage);
    Words players;
    for (const auto& [player, team] : footage.roster)
        players.push_back(player);
    const Words skills = filled(skill_words()), sizes = filled(size_words()), angles = filled(angle_words());
    using Shot = const LastCut::Shot*;
    const auto players_of = [](const Take& take, Shot) {
        return Words(take.players.begin(), take.players.end());
    };
    const auto size_of = [](const Take& take, Shot) { return one(to_string(take.size)); };
    const auto angle_of = [](const Take& take, Shot) { return one(to_string(take.angle)); };
    const auto place_of = [&](const Take& take, Shot) {
        const auto at = footage.places.find(take.camera);
        return one(at == footage.places.end() ? take.camera : at->second);
    };
    const auto kind_of = [](const Take& take, Shot) { return one(to_string(take.kind)); };
    const auto subject_of = [](const Take& take, Shot) {
        const bool has_one = take.kind == Kind::cutaway || take.kind == Kind::establishing;
        return has_one ? one(subject(take)) : Words{};
    };
    const auto only = [](const auto& is, const Tally::Tags& tags) {
        return [is, tags](const Take& take, Shot shot) { return is(take) ? tags(take, shot) : Words{}; };
    };
    const auto is_action = [](const Take& take) { return take.kind == Kind::action; };

    Coverage found;
    found.all = tally.count([](const Take&) { return true; });
    found.slow_motion = tally.count([&](const Take& take) {
        return slow_motion(take, footage.log.media[take.media], footage.limits.delivery.rate);
    });
    const Tally::Side by_skill{"skill", skills, skills_of};
    found.grids = {
        tally.grid("players in skills", {"player", players, only(is_action, players_of)}, by_skill),
        tally.grid("players' faces", {"player", players, only(is_face, players_of)},
                   {"kind", {"reaction", "celebration"}, kind_of}),
        tally.grid("sizes from angles", {"size", sizes, size_of}, {"angle", angles, angle_of}),
        tally.grid("skills by place of the camera", {"place", {}, only(is_action, place_of)}, by_skill),
        tally.grid("skills by size", {"size", sizes, only(is_action, size_of)}, by_skill),
        tally.grid("place and spectators", {"subject", {}, subject_of},
                   {"kind", {"establishing", "cutaway"}, kind_of}),
    };
    found.grids.back().full = false;
    found.gaps = find_gaps(footage, found);
    found.rallies = rallies(footage.log.takes);
    return found;
}

} // namespace downball::coverage
