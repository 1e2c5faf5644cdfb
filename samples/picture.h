// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "backdrop.h"
#include "crowd.h"
#include "scenario.h"

namespace downball::sample {

// Draws the frames of one take. Frame n shows the scene at n / rate, but a frame in which a contact falls
// shows that contact's own instant, with the ball pressed flat in a burst of sand.
class TakePicture {
  public:
    TakePicture(const Take& take, const Scenario& scenario, const Crowd& crowd);
    void draw(Canvas& canvas, int frame);

  private:
    void shadows(Canvas& canvas, double life_s);
    void ball(Canvas& canvas, double life_s, bool struck) const;
    void burst(Canvas& canvas, Vec3 where) const;

    const Take& take_;
    const Scenario& scenario_;
    const Crowd& crowd_;
    const Rally* rally_;
    Light light_;
    Backdrop backdrop_;
    Canvas mask_;
    std::vector<Layer> net_; // one, or none where nobody plays
};

} // namespace downball::sample
