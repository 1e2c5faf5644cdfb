// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#include "picture.h"

#include "performance.h"
#include "strip.h"
#include "venue.h"

namespace downball::sample {

TakePicture::TakePicture(const Take& take, const Scenario& scenario, const Crowd& crowd)
    : take_(take), scenario_(scenario), crowd_(crowd),
      rally_(take.rally >= 0 ? &scenario.rallies[static_cast<std::size_t>(take.rally)] : nullptr),
      light_(light_at(take.clock_s)), backdrop_(take.view, light_), mask_(picture_width, picture_height) {
    Canvas& still = backdrop_.still();
    draw_boat(still, take.view, light_, std::fmod(take.clock_s, 40));
    draw_umbrellas(still, take.view, light_);
    draw_stands(still, take.view, light_);
    // The log keeps the score at which the rally began; the board moves on when it is over.
    const bool won = rally_ && take.start_s > rally_->down_s;
    draw_board(still, take.view, light_, std::max(1, take.set), take.a + (won && rally_->script.winner == 0),
               take.b + (won && rally_->script.winner == 1));
    mask_.clear({255, 255, 255});
    draw_net_shadow(mask_, take.view, light_);
    for (std::size_t i = 0; i < still.bytes().size(); ++i)
        still.bytes()[i] = static_cast<std::uint8_t>(still.bytes()[i] *
                                                     (1 - light_.shadow * (1 - mask_.bytes()[i] / 255.0)));
    backdrop_.seal();
    Canvas black(picture_width, picture_height), white(picture_width, picture_height);
    white.clear({255, 255, 255});
    draw_net(black, take.view, light_);
    draw_net(white, take.view, light_);
    net_.emplace_back(black, white);
}

void TakePicture::shadows(Canvas& canvas, double life_s) {
    std::fill(mask_.bytes().begin(), mask_.bytes().end(), std::uint8_t{255});
    for (int p = 0; p < player_count; ++p)
        draw_shadow(mask_, take_.view, light_,
                    build_body(stance_at(*rally_, p, life_s), look_of(p).height_m));
    const Vec3 ball = ball_at(*rally_, life_s).at;
    if (const auto s = take_.view.see(shadow_of(ball, light_)))
        mask_.ellipse(s->at, Vec2{ball_radius * s->scale, 0}, std::max(0.7, ball_radius * s->scale * 0.45),
                      Paint({0, 0, 0}));
    std::uint8_t* px = canvas.bytes().data();
    const std::uint8_t* dark = mask_.bytes().data();
    const auto depth = static_cast<int>(light_.shadow * 256);
    for (std::size_t i = 0; i < mask_.bytes().size(); i += 3) {
        if (dark[i] == 255) continue;
        const int keep =
            256 * 255 - depth * (255 - dark[i]); // of 256 * 255; blue stays, as shade is lit by sky
        px[i] = static_cast<std::uint8_t>(px[i] * keep / (256 * 255));
        px[i + 1] = static_cast<std::uint8_t>(px[i + 1] * keep / (256 * 255));
        px[i + 2] = static_cast<std::uint8_t>(px[i + 2] * (keep + depth * (255 - dark[i]) / 5) / (256 * 255));
    }
}

void TakePicture::ball(Canvas& canvas, double life_s, bool struck) const {
    const Ball now = ball_at(*rally_, life_s);
    const auto s = take_.view.see(now.at);
    if (!s) return;
    const double r = std::max(1.6, ball_radius * s->scale);
    const Vec2 towards = take_.view.on_screen_direction(light_.sun);
    const Rgb yellow{250, 214, 70}, white{250, 250, 246}, blue{40, 92, 170};
    if (!struck) {
        // Half a frame of shutter, as a fading trail.
        const double shutter = 0.5 / take_.capture;
        if (const auto t = take_.view.see(now.at - now.velocity * shutter);
            t && length(t->at - s->at) > r * 0.5)
            for (int i = 4; i >= 1; --i)
                canvas.circle(mix(s->at, t->at, i / 4.0), r * 0.92, Paint(in_sun(light_, yellow), 0.16));
    }
    if (struck) {
        const Ball before = ball_at(*rally_, life_s - 1e-4);
        const Ball after = ball_at(*rally_, life_s + 1e-4);
        const Vec2 push = take_.view.on_screen_direction(after.velocity - before.velocity);
        const Vec2 at = s->at;
        canvas.ellipse(at, push * (r * 0.72), r * 1.22,
                       Paint(in_sun(light_, yellow), in_shade(light_, yellow), towards, 0.3));
        canvas.ellipse(at, Vec2{-push.y, push.x} * (r * 0.9), r * 0.2, Paint(in_sun(light_, blue), 0.9));
        return;
    }
    canvas.circle(s->at, r, Paint(in_sun(light_, yellow), in_shade(light_, yellow), towards, 0.35));
    if (r < 2.5) return;
    // Panels: two bands that turn with the flight.
    const double spin = life_s * 9;
    const Vec2 axis{std::cos(spin), std::sin(spin)};
    canvas.ellipse(s->at + axis * (r * 0.18), axis * (r * 0.22), r * 0.93,
                   Paint(in_sun(light_, white), 0.95));
    canvas.ellipse(s->at - axis * (r * 0.42), axis * (r * 0.17), r * 0.80, Paint(in_sun(light_, blue), 0.95));
    canvas.circle(s->at + towards * (r * 0.4), r * 0.22, Paint({255, 255, 250}, 0.55));
}

void TakePicture::burst(Canvas& canvas, Vec3 where) const {
    const auto s = take_.view.see(where);
    if (!s) return;
    const Vec2 at = s->at;
    const double r = std::max(1.6, ball_radius * s->scale);
    for (int i = 0; i < 10; ++i) {
        const double a = 2 * pi * (i + 0.25) / 10, reach = r * (i % 2 == 0 ? 3.1 : 2.3);
        const Vec2 d{std::cos(a), std::sin(a)};
        canvas.capsule(at + d * (r * 1.35), at + d * reach, std::max(0.9, r * 0.16), 0.4,
                       Paint({255, 250, 226}, 0.95));
    }
    canvas.ring(at, r * 1.75, std::max(1.0, r * 0.16), Paint({255, 236, 150}, 0.85));
}

void TakePicture::draw(Canvas& canvas, int frame) {
    const double media_s = static_cast<double>(frame) / take_.rate;
    double life_s = take_.life_s(media_s);
    // Attack and block may fall into one frame: both burst, and the ball is where the later one leaves it.
    std::vector<const TakeContact*> struck;
    for (const TakeContact& c : take_.contacts)
        if (static_cast<int>(std::floor(c.picture_s * take_.rate)) == frame) {
            struck.push_back(&c);
            life_s = take_.life_s(c.picture_s);
        }
    backdrop_.paint(canvas,
                    take_.clock_s - std::floor(take_.clock_s / 600) * 600 + media_s / take_.slowness());
    draw_flags(canvas, take_.view, light_, life_s + 40);
    crowd_.draw(canvas, take_.view, light_, life_s + 40, joy_at(take_, scenario_, media_s));
    if (!rally_ || !take_.players_shown) {
        net_.front().lay_over(canvas);
        draw_strip(canvas, frame, take_.number, false);
        return;
    }
    shadows(canvas, life_s);

    struct Thing {
        bool behind_net;
        double distance;
        int player; // -1 = ball
    };
    std::vector<Thing> things;
    const Vec3 eye = take_.view.eye();
    const auto add = [&](Vec3 at, int player) {
        things.push_back({at.x * eye.x < 0, length(at - eye), player});
    };
    for (int p = 0; p < player_count; ++p)
        add(stance_at(*rally_, p, life_s).root + Vec3{0, 0, 1}, p);
    add(ball_at(*rally_, life_s).at - unit(ball_at(*rally_, life_s).at - eye) * 0.25, -1);
    std::sort(things.begin(), things.end(), [](const Thing& a, const Thing& b) {
        return a.behind_net != b.behind_net ? a.behind_net : a.distance > b.distance;
    });
    bool netted = false;
    for (const Thing& t : things) {
        if (!t.behind_net && !netted) {
            net_.front().lay_over(canvas);
            netted = true;
        }
        if (t.player < 0) {
            if (struck.empty()) ball(canvas, life_s, false);
        } else {
            const Look& look = look_of(t.player);
            draw_body(canvas, take_.view, light_, look,
                      build_body(stance_at(*rally_, t.player, life_s), look.height_m));
        }
    }
    if (!netted) net_.front().lay_over(canvas);
    for (const TakeContact* c : struck)
        burst(canvas, c->ball);
    if (!struck.empty()) ball(canvas, life_s, true);
    draw_strip(canvas, frame, take_.number, !struck.empty());
}

} // namespace downball::sample
