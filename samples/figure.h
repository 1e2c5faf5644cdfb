// SPDX-FileCopyrightText: The Downball authors
// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "camera.h"
#include "light.h"
#include "pose.h"
#include "raster.h"

namespace downball::sample {

struct Look {
    Rgb skin, top, shorts, hair;
    bool cap = false;
    int number = 0; // on the top; 0 = none
    double height_m = 1.82;
};

// A body in the world. `heading` turns its forward from +x, anticlockwise seen from above.
struct Stance {
    Vec3 root;
    double heading = 0;
    Pose pose;
};

struct Body {
    Vec3 forward, right;
    Vec3 pelvis, neck, head;
    Vec3 shoulder[2], elbow[2], hand[2], hip[2], knee[2], foot[2], toe[2];
    double size = 1; // against a body of 1.82 m
    double smile = 0;
};

Body build_body(const Stance& stance, double height_m);

void draw_body(Canvas& canvas, const Camera& camera, const Light& light, const Look& look, const Body& body);
// Onto sand, along the sun.
void draw_shadow(Canvas& mask, const Camera& camera, const Light& light, const Body& body);

Vec3 shadow_of(Vec3 point, const Light& light);

} // namespace downball::sample
