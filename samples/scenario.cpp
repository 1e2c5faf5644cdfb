// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "scenario.h"

#include "framing.h"
#include "performance.h"
#include "prng.h"
#include "venue.h"

#include <fmt/format.h>

namespace downball::sample {
namespace {

constexpr double clock(int h, int m, int s = 0) {
    return h * 3600.0 + m * 60.0 + s;
}

// One match over the afternoon, two sets. Every player has every skill somewhere.
const std::array<RallyScript, 14> scripts{{
    {"r01", "B1s A1p A2t A1a", 1, 0, 0, 0, clock(15, 22, 10), false},
    {"r02", "A1s B2p B1t B2a A2k", 1, 1, 0, 0, clock(15, 23, 4), false},
    {"r03", "B2s A2p A1t A2a B1d B2t B1a", 1, 3, 2, 1, clock(15, 26, 31), true},
    {"r04", "A2s B1p B2t B1a A1k", 1, 5, 4, 0, clock(15, 30, 47), false},
    {"r05", "B1s", 1, 8, 7, 1, clock(15, 35, 20), false},
    {"r06", "A1s B1p B2t B1a A2d A1t A2a B2k", 1, 11, 9, 1, clock(15, 39, 8), true},
    {"r07", "B2s A1p A2t A1a B1k", 1, 17, 14, 1, clock(15, 47, 52), false},
    {"r08", "A2s B2p B1t B2a A1d A2t A1a", 1, 20, 17, 0, clock(15, 53, 30), false},
    {"r09", "B1s A2p A1t A2a B2d B1t B2a A1d A2t A1a", 2, 0, 0, 0, clock(16, 38, 15), true},
    {"r10", "A1s B1p B2t B1a", 2, 4, 4, 1, clock(16, 44, 2), false},
    {"r11", "B2s A1p A2t A1a B2d B1t B2a", 2, 9, 10, 1, clock(16, 51, 40), false},
    {"r12", "A2s B2p B1t B2a A1k", 2, 14, 12, 0, clock(16, 59, 26), true},
    {"r13", "B1s A2p A1t A2a B1d B2t B1a A1d A2t A1a", 2, 18, 16, 0, clock(17, 6, 33), false},
    {"r14", "A1s B1p B2t B1a A2k", 2, 20, 17, 0, clock(17, 10, 48), false},
}};

struct Plan {
    int rally;
    int first, last; // contacts aimed at
    char camera;
    Framing framing;
    double stand_off; // metres from the court's middle line
    double lead_s, tail_s;
    int capture;
    int rating;
    TakeSound sound = TakeSound::aac; // none: high speed, played at 25
};

// clang-format off
const std::array<Plan, 39> plans{{
    {0, 0, 3, 'A', Framing::side_wide, 15.5, 1.4, 1.6, 25, 4}, {0, 2, 3, 'B', Framing::net_medium, 9.0, 1.0, 1.1, 50, 4}, {0, 3, 3, 'C', Framing::tight, 10.5, 1.7, 1.4, 100, 5},
    {1, 0, 4, 'A', Framing::side_wide, 15.5, 1.2, 1.5, 25, 3}, {1, 3, 4, 'B', Framing::net_medium, 9.5, 1.5, 1.6, 50, 5},
    {2, 0, 6, 'A', Framing::high_wide, 14.0, 1.0, 1.2, 25, 4}, {2, 1, 1, 'B', Framing::medium, 9.0, 1.3, 1.8, 50, 3}, {2, 4, 4, 'C', Framing::tight, 9.5, 1.2, 1.9, 120, 5},
    {3, 0, 4, 'A', Framing::high_wide, 14.0, 1.0, 1.5, 25, 3}, {3, 3, 4, 'B', Framing::net_low, 9.0, 1.6, 1.5, 50, 4}, {3, 3, 4, 'C', Framing::tight, 11.0, 0.8, 0.8, 100, 5, TakeSound::none},
    {4, 0, 0, 'A', Framing::side_wide, 15.5, 1.9, 2.2, 25, 2}, {4, 0, 0, 'C', Framing::tight, 11.0, 1.9, 1.2, 120, 5},
    {5, 0, 7, 'A', Framing::side_wide, 15.5, 0.9, 1.1, 25, 5}, {5, 3, 4, 'B', Framing::net_medium, 10.0, 1.2, 1.4, 50, 3}, {5, 7, 7, 'B', Framing::low, 8.5, 1.4, 1.7, 50, 4}, {5, 5, 5, 'C', Framing::tight, 9.0, 1.4, 1.7, 100, 4},
    {6, 0, 4, 'A', Framing::side_wide, 15.5, 1.0, 1.5, 25, 3}, {6, 3, 4, 'B', Framing::low, 8.5, 1.6, 1.5, 50, 5},
    {7, 0, 6, 'A', Framing::high_wide, 14.0, 0.9, 1.6, 25, 4}, {7, 3, 3, 'B', Framing::medium, 9.0, 1.5, 1.6, 50, 4}, {7, 4, 4, 'C', Framing::tight, 9.5, 1.2, 1.9, 100, 5}, {7, 5, 6, 'B', Framing::net_medium, 9.5, 1.0, 1.3, 50, 4, TakeSound::aac_late},
    {8, 0, 9, 'A', Framing::side_wide, 15.5, 0.5, 0.6, 25, 5}, {8, 4, 4, 'B', Framing::medium, 9.0, 1.3, 1.7, 50, 4}, {8, 9, 9, 'C', Framing::tight, 10.5, 1.8, 1.3, 120, 5},
    {9, 0, 3, 'A', Framing::high_wide, 14.0, 1.2, 1.5, 25, 3}, {9, 0, 0, 'B', Framing::medium, 9.0, 2.2, 1.3, 50, 4},
    {10, 0, 6, 'A', Framing::side_wide, 15.5, 0.8, 1.3, 25, 4}, {10, 6, 6, 'B', Framing::low, 8.5, 1.7, 1.4, 50, 5}, {10, 1, 1, 'C', Framing::tight, 9.0, 1.3, 1.8, 100, 4},
    {11, 0, 4, 'A', Framing::high_wide, 14.0, 1.1, 1.4, 25, 3}, {11, 3, 4, 'C', Framing::tight, 10.5, 1.6, 1.5, 120, 5},
    {12, 0, 9, 'A', Framing::side_wide, 15.5, 0.4, 0.5, 25, 5}, {12, 2, 3, 'B', Framing::net_medium, 9.0, 1.0, 1.2, 50, 4}, {12, 7, 7, 'B', Framing::medium, 8.5, 1.3, 1.7, 50, 5}, {12, 1, 1, 'C', Framing::tight, 9.0, 1.3, 1.8, 100, 3},
    {13, 0, 4, 'A', Framing::side_wide, 15.5, 1.3, 2.0, 25, 5}, {13, 3, 4, 'B', Framing::net_low, 9.0, 1.6, 1.8, 50, 5},
}};
// clang-format on

class Maker {
  public:
    Scenario make();

  private:
    Take& add(char camera, std::string_view kind, double clock_s, double length_s);
    void of_rally(Take& take, int rally, double start_s);
    void action(const Plan& plan);
    void reaction(int rally, int player, char camera, double from_s, double length_s, double width_m,
                  std::string_view note);
    void cutaway(std::string_view kind, double clock_s, double length_s, Vec3 eye, Vec3 target,
                 double width_m, double joy, std::string_view note);
    void celebration(char camera, double from_s, double length_s, double width_m, std::string_view note);
    void finish();

    Scenario s_;
};

Take& Maker::add(char camera, std::string_view kind, double clock_s, double length_s) {
    Take t;
    t.camera = camera;
    t.kind = kind;
    t.clock_s = clock_s;
    t.length_s = length_s;
    t.rate = t.capture = camera == 'A' ? 25 : camera == 'B' ? 50 : 100;
    s_.takes.push_back(t);
    return s_.takes.back();
}

void Maker::of_rally(Take& take, int index, double start_s) {
    const Rally& rally = s_.rallies[static_cast<std::size_t>(index)];
    take.rally = index;
    take.start_s = start_s;
    take.clock_s = rally.script.clock_s + start_s;
    take.moment = rally.script.moment;
    take.set = rally.script.set;
    take.a = rally.script.a;
    take.b = rally.script.b;
    take.music = rally.script.music;
}

void Maker::action(const Plan& plan) {
    const Rally& rally = s_.rallies[static_cast<std::size_t>(plan.rally)];
    const auto first = static_cast<std::size_t>(plan.first), last = static_cast<std::size_t>(plan.last);
    // No camera waits for a frame's edge to meet a contact.
    const double early =
        0.002 + 0.036 * hash01(plan.rally, plan.first, static_cast<std::uint64_t>(plan.camera) + 5);
    const double from = rally.contacts[first].at_s - plan.lead_s - early;
    const double life = rally.contacts[last].at_s + plan.tail_s - from;
    const Aim aim = aim_at(rally, first, last, plan.framing, plan.stand_off);
    Take& t = add(plan.camera, "action", 0, life);
    t.capture = plan.capture;
    t.rate = plan.sound == TakeSound::none ? 25 : plan.capture;
    t.length_s = std::round(life * t.slowness() * t.rate) / t.rate;
    of_rally(t, plan.rally, from);
    t.rating = plan.rating;
    t.view = aim.view;
    t.size = aim.size;
    t.angle = aim.angle;
    t.sound = plan.sound;
}

void Maker::reaction(int rally, int player, char camera, double from_s, double length_s, double width_m,
                     std::string_view note) {
    const Rally& r = s_.rallies[static_cast<std::size_t>(rally)];
    Take& t = add(camera, "reaction", 0, length_s);
    of_rally(t, rally, r.down_s + from_s);
    const Stance stance = stance_at(r, player, r.down_s + from_s + length_s / 2);
    const bool tight = width_m < 3;
    const Vec3 target = stance.root + Vec3{0, 0, tight ? 1.62 : 1.25};
    const Vec3 eye{target.x * 0.8 + (tight ? 1.2 : -1.0), -8.6, tight ? 1.6 : 1.3};
    t.view = Camera(eye, target, picture_width * length(target - eye) / width_m);
    t.size = tight ? "tight" : "medium";
    t.angle = "eye";
    t.rating = 4;
    t.players = {player};
    t.note = note;
}

void Maker::cutaway(std::string_view kind, double clock_s, double length_s, Vec3 eye, Vec3 target,
                    double width_m, double joy, std::string_view note) {
    Take& t = add('A', kind, clock_s, length_s);
    t.view = Camera(eye, target, picture_width * length(target - eye) / width_m);
    t.size = width_m > 9 ? "wide" : width_m > 3 ? "medium" : "tight";
    t.angle = eye.z > 5 ? "high" : eye.z < 0.8 ? "low" : "eye";
    t.joy = joy;
    t.players_shown = false;
    t.note = note;
}

void Maker::celebration(char camera, double from_s, double length_s, double width_m, std::string_view note) {
    const Rally& r = s_.rallies.back();
    Take& t = add(camera, "celebration", 0, length_s);
    of_rally(t, static_cast<int>(s_.rallies.size()) - 1, r.down_s + from_s);
    const Vec3 target{-r.left_of_a * -2.6, 0, width_m < 5 ? 1.35 : 1.3};
    const Vec3 eye{target.x * 0.3, -9.5, 1.5};
    t.view = Camera(eye, target, picture_width * length(target - eye) / width_m);
    t.size = width_m < 5 ? "medium" : "wide";
    t.angle = "eye";
    t.rating = 5;
    t.players = {0, 1};
    t.joy = 1;
    t.music = true;
    t.note = note;
}

// File names by camera and order of the day, contacts, logged distance and the stretch a user would mark.
void Maker::finish() {
    std::stable_sort(s_.takes.begin(), s_.takes.end(),
                     [](const Take& x, const Take& y) { return x.clock_s < y.clock_s; });
    int count['C' + 1] = {};
    const double c = s_.speed_of_sound();
    for (std::size_t i = 0; i < s_.takes.size(); ++i) {
        Take& t = s_.takes[i];
        const int n = ++count[static_cast<int>(t.camera)];
        t.number = static_cast<int>(i) + 1;
        t.id = fmt::format("T{:03}", i + 1);
        const std::string_view stem = t.camera == 'A' ? "A012" : t.camera == 'B' ? "B031" : "HS07";
        const bool mov = t.camera == 'A';
        t.file = fmt::format("footage/CAM_{}/{}_{:04}.{}", t.camera, stem, n + 3, mov ? "mov" : "mp4");
        if (t.camera == 'A') t.reel = fmt::format("{}{:04}", stem, n + 3);
        if (mov && n % 4 == 2 && t.sound == TakeSound::aac) t.sound = TakeSound::pcm;
        t.in_s = 0;
        t.out_s = t.frames() / static_cast<double>(t.rate);
        if (t.rally < 0 || !t.players_shown) continue;
        const Rally& rally = s_.rallies[static_cast<std::size_t>(t.rally)];
        Vec3 sum;
        double seen = 0;
        for (const Contact& k : rally.contacts) {
            TakeContact tc;
            tc.picture_s = (k.at_s - t.start_s) * t.slowness();
            tc.sound_s = tc.picture_s + length(k.ball - t.view.eye()) / c * t.slowness();
            if (tc.picture_s < 0 || tc.sound_s >= t.out_s) continue;
            tc.skill = k.skill;
            tc.player = k.player;
            tc.ball = k.ball;
            tc.visible = t.view.frames(k.ball, 14);
            if (tc.visible) {
                sum = sum + k.ball;
                ++seen;
            }
            t.contacts.push_back(tc);
        }
        const double thud = (rally.down_s - t.start_s) * t.slowness() + length(rally.down - t.view.eye()) / c;
        if (thud > 0 && thud < t.out_s && t.sound != TakeSound::none) t.other_thuds.push_back(thud);
        if (seen > 0) {
            t.distance_m = std::round(2 * length(sum * (1 / seen) - t.view.eye())) / 2;
            const TakeContact* lead = nullptr;
            for (const TakeContact& k : t.contacts)
                if (k.visible && (!lead || k.skill == Skill::attack)) lead = &k;
            t.side = t.view.right().x * lead->ball.x < 0 ? "left" : "right";
            // Contacts heard but not shown are trimmed away.
            const auto shown = [](const TakeContact& k) { return k.visible; };
            const auto first = std::find_if(t.contacts.begin(), t.contacts.end(), shown);
            const auto end = std::find_if(t.contacts.rbegin(), t.contacts.rend(), shown).base();
            if (first != t.contacts.begin()) t.in_s = std::ceil(((first - 1)->sound_s + 0.10) * 100) / 100;
            if (end != t.contacts.end()) t.out_s = std::floor((end->picture_s - 0.04) * 100) / 100;
        }
    }
}

Scenario Maker::make() {
    for (const RallyScript& script : scripts)
        s_.rallies.push_back(stage_rally(script));
    for (const Plan& plan : plans)
        action(plan);
    reaction(0, 0, 'B', 1.7, 3.2, 1.9, "Mira Tolvane, first point");
    reaction(2, 3, 'A', 1.8, 3.4, 4.2, "Thea Ostrin and partner");
    reaction(3, 2, 'B', 1.6, 3.0, 4.4, "Juno Faldry, blocked");
    reaction(7, 1, 'B', 1.8, 3.4, 1.9, "Ines Karrow, set won");
    reaction(10, 2, 'A', 1.7, 3.6, 1.9, "Juno Faldry, level again");
    reaction(12, 0, 'B', 1.9, 3.2, 4.2, "Mira Tolvane after the long rally");
    celebration('A', 1.9, 5.0, 7.5, "match won");
    celebration('B', 4.2, 3.6, 4.0, "Tolvane and Karrow");
    cutaway("establishing", clock(9, 41, 12), 5.0, {-17, -27, 9.5}, {1, 6, 0.5}, 46, 0.1,
            "the bay in the morning");
    cutaway("establishing", clock(15, 19, 40), 4.6, {15, -18, 4.2}, {0, 2, 1.2}, 27, 0.3,
            "court before the match");
    cutaway("cutaway", clock(9, 52, 5), 4.0, {-4, 14, 1.9}, {6, 60, 0.4}, 44, 0, "surf");
    cutaway("cutaway", clock(12, 10, 30), 3.6, {-7, -3, 1.6}, {-2.4, 12.2, 4.1}, 6.4, 0.1, "flags");
    cutaway("cutaway", clock(12, 24, 0), 3.4, {-7, -4, 1.7}, {-13.2, 9.5, 1.75}, 6.5, 0.1, "umbrella");
    cutaway("cutaway", clock(15, 31, 20), 3.6, {3, -2, 2.4}, {1.2, 9.6, 1.55}, 5.4, 0.5, "spectators");
    cutaway("cutaway", clock(15, 58, 45), 4.0, {5.5, -3, 1.8}, board_at + Vec3{-0.3, 0, 0}, 5.2, 0.6,
            "board after set one, change of ends");
    cutaway("cutaway", clock(16, 46, 10), 3.2, {-3, 0, 2.3}, {-2.4, 9.5, 1.75}, 2.9, 1,
            "spectators on their feet");
    cutaway("cutaway", clock(16, 56, 0), 3.2, {-2.2, -5.5, 1.7}, {0, 0.6, 2.0}, 2.6, 0.3, "net in the wind");
    cutaway("cutaway", clock(18, 12, 20), 4.4, {-12, 12, 2.0}, {30, 70, 1.2}, 60, 0, "evening sea");
    for (Take& t : s_.takes) {
        if (t.note.starts_with("board")) {
            t.set = 1;
            t.a = 21;
            t.b = 17;
        }
        if (t.note == "spectators") t.music = true;
        if (t.note == "court before the match") {
            t.rally = 0;
            t.start_s = -14;
            t.players_shown = true;
        }
    }
    // Feet of the server, up to just before the serve.
    Take& feet = add('A', "cutaway", 0, 3.0);
    of_rally(feet, 9, -3.9);
    const Vec3 at = stance_at(s_.rallies[9], 0, -2).root;
    feet.view = Camera({at.x * 0.75, -7.2, 0.35}, at + Vec3{0, 0, 0.42}, picture_width * (at.y + 7.2) / 1.9);
    feet.size = "tight";
    feet.angle = "low";
    feet.note = "feet in the sand before the serve";
    feet.players = {0};
    finish();
    return s_;
}

} // namespace

Scenario make_scenario() {
    return Maker().make();
}

double clock_ahead_s(char camera) {
    return camera == 'B' ? -41.52 : camera == 'C' ? 3607.24 : 0;
}

double joy_at(const Take& take, const Scenario& scenario, double media_s) {
    if (take.joy >= 0) return take.joy;
    if (take.rally < 0) return 0.1;
    const Rally& rally = scenario.rallies[static_cast<std::size_t>(take.rally)];
    const double since = take.life_s(media_s) - rally.down_s;
    return since < 0 ? 0.15 + 0.15 * ramp(-2, 0, since)
                     : 0.3 + 0.7 * ramp(0.05, 0.5, since) * (1 - 0.6 * ramp(3, 7, since));
}

} // namespace downball::sample
