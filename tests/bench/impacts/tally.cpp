// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/impacts/tally.h"

#include "downball/model/flight_times.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace downball::bench {

namespace {

std::vector<double> instants(const Found& found, double floor) {
    std::vector<double> out;
    for (const Heard& h : found)
        if (h.confidence >= floor) out.push_back(h.sound_s);
    return out;
}

// The surest candidate chooses first, the nearest contact that is left. As is usual for average precision.
std::vector<Judged> judge(const Found& found, const std::vector<double>& contacts) {
    std::vector<std::size_t> order(found.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return found[a].confidence > found[b].confidence; });
    std::vector<bool> taken(contacts.size());
    std::vector<Judged> judged;
    for (const std::size_t i : order) {
        std::size_t best = contacts.size();
        double least = windows_s[0];
        for (std::size_t t = 0; t < contacts.size(); ++t) {
            const double apart = std::abs(found[i].sound_s - contacts[t]);
            if (taken[t] || apart > least) continue;
            least = apart;
            best = t;
        }
        if (best < contacts.size()) taken[best] = true;
        judged.push_back({found[i].confidence, best < contacts.size()});
    }
    return judged;
}

// What a false alarm most likely was: the nearest distraction that begins within 50 ms, else the echo or tail of a
// contact.
std::string kind_of(const test::MixedClip& clip, double at_s) {
    const test::Distraction* best = nullptr;
    for (const auto& d : clip.channels.distractions)
        if (std::abs(d.seconds - at_s) <= windows_s[0] &&
            (!best || std::abs(d.seconds - at_s) < std::abs(best->seconds - at_s)))
            best = &d;
    if (best) return best->kind;
    for (const double t : clip.contacts)
        if (at_s > t && at_s < t + 0.25) return "after a contact";
    return "other";
}

Share of_skills(const Tally& tally, bool hard) {
    Share share;
    for (std::size_t s = 0; s < tally.by_skill.size(); ++s)
        if (is_hard(static_cast<Skill>(s)) == hard) share += tally.by_skill[s];
    return share;
}

} // namespace

Tally& Tally::operator+=(const Tally& o) {
    for (std::size_t w = 0; w < hits.size(); ++w)
        hits[w] += o.hits[w];
    found += o.found;
    truth += o.truth;
    errors_s.insert(errors_s.end(), o.errors_s.begin(), o.errors_s.end());
    judged.insert(judged.end(), o.judged.begin(), o.judged.end());
    for (std::size_t s = 0; s < by_skill.size(); ++s)
        by_skill[s] += o.by_skill[s];
    for (const auto& [kind, count] : o.false_by_kind)
        false_by_kind[kind] += count;
    seconds += o.seconds;
    cpu_s += o.cpu_s;
    stereo_seconds += o.stereo_seconds;
    stereo_cpu_s += o.stereo_cpu_s;
    return *this;
}

double Tally::average_precision() const {
    auto order = judged;
    std::stable_sort(order.begin(), order.end(),
                     [](const Judged& a, const Judged& b) { return a.confidence > b.confidence; });
    double total = 0, good = 0;
    for (std::size_t i = 0; i < order.size(); ++i)
        if (order[i].contact) total += ++good / static_cast<double>(i + 1);
    return truth ? total / static_cast<double>(truth) : 0;
}

double Tally::error_s() const {
    std::vector<double> sizes;
    for (const double e : errors_s)
        sizes.push_back(std::abs(e));
    return test::median_of(sizes);
}

Share Tally::hard() const {
    return of_skills(*this, true);
}

Share Tally::soft() const {
    return of_skills(*this, false);
}

Tally tally_of(const test::MixedClip& clip, const Found& found, double cpu_s) {
    Tally tally;
    const std::vector<double> sure = instants(found, impacts::default_floor);
    for (std::size_t w = 0; w < windows_s.size(); ++w)
        tally.hits[w] = test::pair_up(sure, clip.contacts, windows_s[w]).hits;
    const test::Pairing pairing = test::pair_up(sure, clip.contacts, windows_s[0]);
    tally.errors_s = pairing.errors_s;
    tally.found = sure.size();
    tally.truth = clip.contacts.size();
    for (const Skill skill : clip.skills)
        ++tally.by_skill[static_cast<std::size_t>(skill)].all;
    for (std::size_t i = 0; i < sure.size(); ++i) {
        if (const auto t = pairing.truth_of[i]; t >= 0)
            ++tally.by_skill[static_cast<std::size_t>(clip.skills[static_cast<std::size_t>(t)])].part;
        else
            ++tally.false_by_kind[kind_of(clip, sure[i])];
    }
    tally.judged = judge(found, clip.contacts);
    tally.seconds = clip.seconds();
    tally.cpu_s = cpu_s;
    if (clip.rate_hz == 48000 && clip.channels.size() == 2) {
        tally.stereo_seconds = tally.seconds;
        tally.stereo_cpu_s = cpu_s;
    }
    return tally;
}

Tally sum(const std::vector<const Tally*>& tallies) {
    Tally all;
    for (const Tally* t : tallies)
        all += *t;
    return all;
}

double f_error(const std::vector<const Tally*>& tallies) {
    std::size_t hits = 0, found = 0, truth = 0;
    for (const Tally* t : tallies) {
        hits += t->hits[0];
        found += t->found;
        truth += t->truth;
    }
    std::vector<double> without;
    for (const Tally* t : tallies)
        without.push_back(test::f_measure(hits - t->hits[0], found - t->found, truth - t->truth));
    const auto count = static_cast<double>(without.size());
    const double mean = std::accumulate(without.begin(), without.end(), 0.0) / count;
    double squares = 0;
    for (const double f : without)
        squares += (f - mean) * (f - mean);
    return std::sqrt((count - 1) / count * squares);
}

} // namespace downball::bench
