// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "solve/rows.h"

#include "downball/base/text.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace downball::solve {
namespace {

struct Builder {
    const Setting& setting;
    Rows out{};

    std::size_t add(Row row) {
        out.rows.push_back(row);
        return out.rows.size() - 1;
    }

    void bounds(const Bounds& wanted, const auto& attach) {
        if (wanted.at_least > 0) attach(add({Row::Kind::quota, -1, -static_cast<double>(wanted.at_least)}));
        if (wanted.at_most) attach(add({Row::Kind::quota, 1, static_cast<double>(*wanted.at_most)}));
    }

    void clips_with_player(const std::string& player, std::size_t row) {
        for (std::size_t c = 0; c < setting.stock.clips.size(); ++c) {
            const auto& players = setting.take_of(setting.stock.clips[c]).players;
            if (std::find(players.begin(), players.end(), player) != players.end())
                out.of_clip[c].push_back(row);
        }
    }

    void plays_with_skill(int skill, std::size_t row) {
        for (std::size_t p = 0; p < setting.stock.plays.size(); ++p) {
            const auto& skills = setting.stock.plays[p].skills;
            if (std::find(skills.begin(), skills.end(), skill) != skills.end())
                out.of_play[p].push_back({row, out.rows[row].use});
        }
    }

    void quotas() {
        const Variety& variety = setting.problem.limits.variety;
        for (const auto& [player, wanted] : variety.players)
            bounds(wanted, [this, &name = player](std::size_t row) { clips_with_player(name, row); });
        for (const auto& [skill, wanted] : variety.skills)
            bounds(wanted, [this, which = static_cast<int>(skill)](std::size_t row) {
                plays_with_skill(which, row);
            });
    }

    // shared - most x shots <= 0. Like a row "at least", it may be broken by the first shots of a cut.
    void others() {
        for (const OtherCut& other : setting.problem.limits.others) {
            const double most = other.shared_share_max;
            const std::size_t row = add({Row::Kind::differ, -1, 0});
            for (std::size_t p = 0; p < setting.stock.plays.size(); ++p) {
                const Play& play = setting.stock.plays[p];
                const Take& take = setting.take_of(setting.clip_of(play));
                const auto& names = play.impact >= 0 ? other.contacts : other.takes;
                const bool shared = names.contains(name_of(play, take));
                out.of_play[p].push_back({row, shared ? 1 - most : -most});
            }
        }
    }

    void must_and_locks() {
        for (std::size_t c = 0; c < setting.stock.clips.size(); ++c)
            if (setting.stock.clips[c].must) out.of_clip[c].push_back(add({Row::Kind::must, -1, -1}));
        for (const Pin& pin : make_pins(setting)) {
            if (pin.ordinal > 0)
                out.of_clip[pin.clip].push_back(
                    add({Row::Kind::lock, -1, -static_cast<double>(pin.ordinal)}));
            else {
                std::size_t row = add({Row::Kind::lock, -1, -1});
                for (std::size_t p : pin.plays)
                    out.of_play[p].push_back({row, -1});
            }
        }
    }

    void share(double most, const auto& belongs) {
        bool any = false;
        for (const Play& play : setting.stock.plays)
            any = any || belongs(play);
        if (!any || most >= 1) return;
        // A hair wide, so that 0.3 x 10 frames still allows 3.
        std::size_t row =
            add({Row::Kind::share, 1, std::floor(most * static_cast<double>(setting.grid.length) + 1e-6)});
        for (std::size_t p = 0; p < setting.stock.plays.size(); ++p)
            if (belongs(setting.stock.plays[p])) out.length_of[p].push_back(row);
    }

    void shares() {
        const Variety& variety = setting.problem.limits.variety;
        share(variety.slow_motion_share_max, [](const Play& p) { return p.slow; });
        share(variety.cutaway_share_max, [&](const Play& p) { return setting.clip_of(p).cutaway; });
        share(variety.reaction_share_max, [&](const Play& p) { return setting.clip_of(p).reaction; });
    }

    // Shots without a contact may begin anywhere in their take, so only their length is counted.
    void file_lengths() {
        std::map<std::size_t, std::vector<FrameRange>> free;
        for (const Clip& clip : setting.stock.clips)
            if (!clip.action && clip.last > clip.first)
                free[clip.media].push_back({Frame{clip.first}, Frame{clip.last}});
        for (auto& [media, ranges] : free) {
            std::sort(ranges.begin(), ranges.end(), [](auto& a, auto& b) { return a.in < b.in; });
            std::int64_t total = 0, end = ranges.front().in.n;
            for (const FrameRange& range : ranges) {
                total += std::max<std::int64_t>(0, range.out.n - std::max(range.in.n, end));
                end = std::max(end, range.out.n);
            }
            std::size_t row = add({Row::Kind::file, 1, static_cast<double>(total)});
            for (std::size_t p = 0; p < setting.stock.plays.size(); ++p) {
                const Clip& clip = setting.clip_of(setting.stock.plays[p]);
                if (!clip.action && clip.media == media) out.length_of[p].push_back(row);
            }
        }
    }

    // One row for each contact of a file, one for each contact of a moment whichever camera.
    void contacts() {
        struct Point {
            double at;
            std::size_t row;
        };
        std::map<std::size_t, std::vector<Point>> points;
        for (const Clip& clip : setting.stock.clips)
            for (double at : clip.contacts) {
                auto& known = points[clip.media];
                bool found = std::any_of(known.begin(), known.end(),
                                         [&](const Point& p) { return std::abs(p.at - at) < 0.01; });
                if (!found) known.push_back({at, add({Row::Kind::point, 1, 1})});
            }
        std::map<std::pair<int, int>, std::size_t> moment_rows;
        bool replays = setting.problem.limits.variety.replays;
        for (std::size_t p = 0; p < setting.stock.plays.size(); ++p) {
            const Play& play = setting.stock.plays[p];
            if (play.impact < 0) continue;
            const Clip& clip = setting.clip_of(play);
            auto& passed = out.passed_by[p];
            // Two source frames of margin: one for rounding, one for where the other shot holds it.
            auto after = [&](double at) { return std::max(0.0, (at - play.last_at + 2) / play.v); };
            const auto first = clip.contacts.begin() + play.contact;
            for (const Point& point : points[clip.media])
                if (point.at >= play.at - 0.005) {
                    bool held = std::any_of(first, first + play.held,
                                            [&](double at) { return std::abs(point.at - at) < 0.01; });
                    passed.push_back({held ? 0 : after(point.at), point.row});
                }
            for (std::size_t n = 0; n < clip.contacts.size() && clip.moment >= 0 && !replays; ++n) {
                if (clip.contacts[n] < play.at) continue;
                int key = clip.told ? clip.contact_keys[n] : static_cast<int>(n);
                auto [at, added] = moment_rows.try_emplace({clip.moment, key}, 0);
                if (added) at->second = add({Row::Kind::moment, 1, 1});
                passed.push_back({holds(play, n) ? 0 : after(clip.contacts[n]), at->second});
            }
            std::sort(passed.begin(), passed.end(), [](const PassedContact& a, const PassedContact& b) {
                return a.after != b.after ? a.after < b.after : a.row < b.row;
            });
        }
    }

    void soft_terms() {
        double gain = coverage_gain(setting);
        for (std::size_t n = 0; n < setting.stock.player_names.size() && gain > 0; ++n) {
            std::size_t row = add({Row::Kind::seen, -1, -1, gain});
            for (std::size_t c = 0; c < setting.stock.clips.size(); ++c) {
                const auto& players = setting.stock.clip_players[c];
                if (std::find(players.begin(), players.end(), static_cast<int>(n)) != players.end())
                    out.of_clip[c].push_back(row);
            }
        }
        for (std::size_t n = 0; n < setting.stock.skill_list.size() && gain > 0; ++n)
            plays_with_skill(setting.stock.skill_list[n], add({Row::Kind::seen, -1, -1, gain}));
        double cost = repeat_cost(setting);
        for (std::size_t c = 0; c < setting.stock.clips.size() && cost > 0; ++c)
            if (!setting.stock.clips[c].plays.empty())
                out.of_clip[c].push_back(add({Row::Kind::fresh, 1, 1, cost}));
    }
};

} // namespace

Rows make_rows(const Setting& setting) {
    Builder builder{setting};
    builder.out.of_clip.resize(setting.stock.clips.size());
    builder.out.of_play.resize(setting.stock.plays.size());
    builder.out.length_of.resize(setting.stock.plays.size());
    builder.out.passed_by.resize(setting.stock.plays.size());
    builder.quotas();
    builder.others();
    builder.must_and_locks();
    builder.shares();
    builder.file_lengths();
    builder.contacts();
    builder.soft_terms();
    return std::move(builder.out);
}

std::optional<Pin> read_pin(const Setting& setting, const Lock& lock) {
    Pin pin;
    if (lock.record_in) pin.record_in = lock.record_in->n;
    if (lock.source_in) pin.source_in = lock.source_in->n;
    for (std::size_t p = 0; p < setting.stock.plays.size(); ++p) {
        const Play& play = setting.stock.plays[p];
        const Take& take = setting.take_of(setting.clip_of(play));
        if (play.impact >= 0 && name_of(play, take) == lock.shot &&
            (lock.held == 0 || play.held == lock.held)) {
            pin.plays.push_back(p);
            pin.clip = play.clip;
        }
    }
    if (!pin.plays.empty()) return pin;
    std::size_t at = lock.shot.rfind('@');
    if (at == std::string::npos) return std::nullopt;
    auto ordinal = parse_integer(lock.shot.substr(at + 1));
    if (!ordinal || *ordinal < 1 || *ordinal > 1'000'000) return std::nullopt;
    for (std::size_t c = 0; c < setting.stock.clips.size(); ++c) {
        const Clip& clip = setting.stock.clips[c];
        if (clip.action || clip.plays.empty() || setting.take_of(clip).id != lock.shot.substr(0, at))
            continue;
        pin.plays = clip.plays;
        pin.clip = c;
        pin.ordinal = static_cast<int>(*ordinal);
        return pin;
    }
    return std::nullopt;
}

std::vector<Pin> make_pins(const Setting& setting) {
    std::vector<Pin> pins;
    for (const Lock& lock : setting.problem.limits.locks)
        if (auto pin = read_pin(setting, lock)) pins.push_back(*pin);
    return pins;
}

} // namespace downball::solve
