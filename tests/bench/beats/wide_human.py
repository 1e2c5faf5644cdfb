# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Exact events to played ones: a tempo that wanders, a hand's spread about each instant, a snare off the grid."""
import random
from dataclasses import dataclass

import numpy as np

SNARES = (37, 38, 39, 40)
HATS = (42, 44, 46, 51, 53, 59)


@dataclass(frozen=True)
class Hand:
    drift: float  # spread of the tempo's random walk, as a share of it
    rush: float  # tempo at the end over tempo at the start, less one
    feel_s: float  # spread of each stroke
    snare_s: float  # snare behind (+) or before (-) the beat
    hat_s: float
    loud: float  # spread of MIDI velocities


def draw(name, seed):
    rng = random.Random(f"{seed}/{name}/hand")
    return Hand(rng.uniform(0.005, 0.015), rng.uniform(-0.03, 0.03), rng.uniform(0.004, 0.010),
                rng.choice((-1, 1, 1)) * rng.uniform(0.002, 0.012), rng.uniform(-0.006, 0.003), rng.uniform(4, 10))


def instants(beats, bpm, hand, rng, start_s=0.0):
    """Where `beats` + 1 beats fall."""
    out, now, wander = [], start_s, 0.0
    for i in range(beats + 1):
        out.append(now)
        wander = 0.92 * wander + rng.gauss(0, hand.drift * 0.39)  # 0.39: the walk's spread is then `drift`
        now += 60 / (bpm * (1 + wander) * (1 + hand.rush * (i / beats - 0.5)))
    return np.array(out)


def place(grid, beat):
    """Seconds at a place counted in beats, off the grid's ends at the nearest step."""
    i = min(max(int(beat), 0), len(grid) - 2)
    return grid[i] + (beat - i) * (grid[i + 1] - grid[i])


def strike(key, velocity, rng, hand):
    """Seconds off the exact instant, and the velocity of one stroke on drum or string."""
    off = rng.gauss(0, hand.feel_s)
    if key in SNARES:
        off += hand.snare_s
    elif key in HATS:
        off += hand.hat_s
    return off, max(1, min(127, round(velocity + rng.gauss(0, hand.loud))))


def play(events, bpm, seconds, hand, seed):
    """Events and the grid of beats, both moved: the truth follows the tempo but not the spread of single strokes."""
    rng = random.Random(f"{seed}/{bpm}/{hand}")
    grid = instants(int(seconds * bpm / 60) + 8, bpm, hand, rng)
    out, sounding = [], {}
    for at, order, body in events:
        moved = place(grid, at * bpm / 60)
        kind, channel = body[0] & 0xF0, body[0] & 0x0F
        if kind == 0x90 and body[2] > 0:
            off, velocity = strike(body[1] if channel == 9 else 0, body[2], rng, hand)
            sounding[channel, body[1]] = off
            moved, body = moved + off, bytes([body[0], body[1], velocity])
        elif kind in (0x80, 0x90):
            moved += sounding.pop((channel, body[1]), 0.0)
        out.append((max(0.0, moved), order, body))
    return out, grid
