# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""A drummer alone: two bars a style, fills, ghost notes, and a hand that is no machine. Our own patterns."""
import random

import wide_human

KEYS = {"kick": 36, "snare": 38, "rim": 37, "clap": 39, "hat": 42, "pedal": 44, "open": 46, "ride": 51, "bell": 53, "crash": 49,
        "low": 41, "mid": 47, "high": 50, "cowbell": 56, "conga": 63, "shaker": 70}
LOUD = {"X": 118, "x": 96, "o": 62, "g": 34}
FILL_DRUMS = ("snare", "high", "mid", "low")

# `beats` a bar, `tempi` of the beat, one string of steps a bar or a list of two; `swing`: share of a step pair its first
# step takes; `fill`: a fill in each so manieth bar. Signs: X accent, x stroke, o soft, g ghost.
DRUMMERS = {
    "rock": dict(beats=4, tempi=(98, 138), fill=8, kick=["X.....x.X.......", "X.....x.X.x....."], snare="....X.......X...",
                 hat="X.x.X.x.X.x.X.x."),
    "half_rock": dict(beats=4, tempi=(132, 156), fill=4, kick=["X.........x.....", "X.....x......x.."],
                      snare="........X.......", ride="x...x...x...x..."),
    "ghost_funk": dict(beats=4, tempi=(92, 112), fill=8, kick=["X.x.......x..x..", "X..x..x...x....."],
                       snare=["....X..g.g..X..g", ".g..X..g.gg.X.g."], hat="x.xox.xox.xox.xo",
                       open=["................", "..............x."]),
    "swing_ride": dict(beats=4, tempi=(124, 178), fill=8, ride="X..x.xX..x.x", pedal="...x.....x..",
                       kick=["g..g..g..g..", "g..g..g..g.o"], snare=["........g...", ".....g.....o"]),
    "shuffle": dict(beats=4, tempi=(104, 136), fill=8, hat="X.xX.xX.xX.x", kick=["X.....X.....", "X....xX....."],
                    snare="..gX.g..gX.g"),
    "bossa": dict(beats=4, tempi=(118, 144), fill=8, hat="x.x.x.x.x.x.x.x.", kick="X.....x.X.....x.",
                  rim=["X.....X.....X...", "....X.....X....."]),
    "samba": dict(beats=2, tempi=(92, 114), fill=8, kick="X..xX..x", pedal="..x...x.", ride="X.xxX.xx",
                  snare=["g.xg.x.g", ".xg.xg.x"]),
    "afro": dict(beats=4, tempi=(88, 112), fill=8, bell=["X.X.XX.X.X.X", "X.X.XX.X.X.X"],
                 kick=["X.....x..x..", "X.....x....."], snare="...g.....g..", low=["......x.x...", "........x.xx"],
                 pedal="x..x..x..x.."),
    "train": dict(beats=4, tempi=(108, 132), fill=8, snare="ooXoooXoooXoooXo", kick="X...x...X...x...",
                  pedal="..x...x...x...x."),
    "disco": dict(beats=4, tempi=(114, 126), fill=8, kick="X...X...X...X...", snare="....X.......X...",
                  hat="xoxoxoxoxoxoxoxo", open="..X...X...X...X."),
    "four_snares": dict(beats=4, tempi=(112, 136), fill=4, snare="X...X...X...X...",
                        kick=["X.....x.x.....x.", "X.......x.x....."], hat="x.x.x.x.x.x.x.x."),
    "second_line": dict(beats=4, tempi=(88, 108), fill=8, kick=["X.....X.....X...", "....X..X....X..."], swing=0.57,
                        snare=["XgoXggXgggXgXgog", "gXgXggXgXggXggXo"], pedal="....x.......x..."),
    "drum_and_bass": dict(beats=4, tempi=(168, 176), fill=8, kick=["X.........x.....", "X.x.......x....."],
                          snare=["....X..g.g..X..g", "....X..g....X.g."], ride="x.x.x.x.x.x.x.x."),
    "one_drop": dict(beats=4, tempi=(132, 152), fill=8, kick="........X.......", rim="........X.......",
                     hat=["x.xxx.x.x.xxx.xo", "x.xxx.x.x.x.xxx."], swing=0.56),
    "half_hats": dict(beats=4, tempi=(136, 148), fill=8, kick=["X.....x...x..x..", "X..x......x....."],
                      clap="........X.......", hat=["xoxoxoxoxoxoxoxx", "xoxoxxxoxoxoxxxx"],
                      open=["......x.........", "................"]),
}


def play(style, bpm, seconds, hand, seed):
    """Events (seconds, order, bytes), beats (seconds, position in bar) and the end."""
    part, rng = DRUMMERS[style], random.Random(f"{seed}/{style}/{bpm}")
    beats = part["beats"]
    bars = int(seconds * bpm / 60 / beats)
    grid = wide_human.instants(bars * beats, bpm, hand, rng, start_s=0.5)
    voices = {v: p for v, p in part.items() if v in KEYS}
    steps = max(len(p if isinstance(p, str) else p[0]) for p in voices.values())
    out, after_fill = [], True
    for bar in range(bars):
        filled = bar % part["fill"] == part["fill"] - 1
        begins = rng.choice((steps // 2, steps * 3 // 4)) if filled else steps
        strokes = [(i, KEYS[v], LOUD[s]) for v, p in voices.items()
                   for i, s in enumerate(p if isinstance(p, str) else p[bar % 2])
                   if s != "." and (i < begins or v == "pedal") and not (after_fill and i == 0 and v in ("hat", "ride"))]
        if after_fill:
            strokes.append((0, KEYS["crash"], 108))
        if filled:
            strokes += _fill(begins, steps, steps // beats, rng)
        for step, key, loud in strokes:
            at = bar * beats + (step + _swung(step, part)) * beats / steps
            off, velocity = wide_human.strike(key, loud, rng, hand)
            if loud == LOUD["g"]:
                velocity = min(velocity, 48)
            at_s = max(0.0, wide_human.place(grid, at) + off)
            out += [(at_s, 1, bytes([0x99, key, velocity])), (at_s + 0.15, 0, bytes([0x89, key, 0]))]
        after_fill = filled
    return out, [(float(t), i % beats + 1) for i, t in enumerate(grid[:-1])], float(grid[-1])


def _swung(step, part):
    return 2 * part["swing"] - 1 if step % 2 and "swing" in part else 0


def _fill(begins, steps, a_beat, rng):
    """Down the drums from the snare, denser towards the end; the foot keeps the beat."""
    out, dense = [], rng.uniform(0.55, 0.95)
    for i in range(begins, steps):
        on = i % a_beat == 0
        if on or rng.random() < dense:
            drum = FILL_DRUMS[min(3, (i - begins) * 4 // max(1, steps - begins) + rng.choice((0, 0, 0, 1)))]
            out.append((i, KEYS[drum], 112 if on else rng.choice((84, 98))))
        if on:
            out.append((i, KEYS["kick"], 96))
    return out
