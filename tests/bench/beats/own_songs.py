# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Songs written from step patterns: what is struck when, and where the beats are. Nothing here makes sound."""
import random
from dataclasses import dataclass, field

# A step a character: X accented, x struck, o soft, . nothing. `beats` a bar; steps of all parts divide the bar evenly.
# A list holds one string a bar, taken in turn. `fill` replaces the drums in the last bar of eight.
STYLES = {
    "house": dict(beats=4, kick="X...X...X...X...", clap="....x.......x...", open="..x...x...x...x.",
                  shaker="o.oxo.oxo.oxo.ox", bass=["..x..xx...x..x.x", "..x..xx...x.xx.."], stab="x..x..x...x.....",
                  fill=dict(kick="X...X...X...X.x.", snare="....x.......xxxx", open="..x...x...x.....")),
    "break": dict(beats=4, kick=["X.x.......xx....", "X.x.......x....x"], snare=["....X..o.o..X..o", "....X..o.o....X."],
                  ride="x.x.x.x.x.x.x.x.", bass=["x.....x.....x...", "x.......x.x....."], pad="x...............",
                  fill=dict(kick="X.x...x...x.....", snare="....X..x.x.xXxXx")),
    "hip_hop": dict(beats=4, kick=["X..x...o..x.....", "X......x..x..o.."], snare=["....X.......X...", "....X..o....X..o"],
                    hat="x.xox.x.x.xox.x.", bass=["x..x......x.....", "x.....x...x..x.."], keys="....o.....o.....", swing=0.59,
                    fill=dict(kick="X..x......x.x...", snare="....X..o.o..X.xx")),
    "dembow": dict(beats=4, kick="X...x...X...x...", snare="...x..x....x..x.", hat="x.o.x.o.x.o.x.o.",
                   bass="x.....x.x.....x.", stab="..x...x...x...x.", fill=dict(kick="X...x...X.......", snare="...x..x....xxxxx")),
    "samba": dict(beats=2, kick="o..xX..x", shaker="XooxXoox", rim=["x.x..x.x", ".x.xx.x."], conga="..x...xx",
                  bass="x..xx..x", keys=["x..x..x.", "..x..x.x"], fill=dict(kick="o..xX..x", snare="xxxxxxxx")),
    "six_eight": dict(beats=2, kick="x.....x...x.", snare="......X.....", hat="x.o.o.x.o.o.", bass="x...x.x...x.",
                      keys="x.x.x.x.x.x.", fill=dict(kick="x.....x.....", snare="......X.xxxx")),
    "slow_six": dict(beats=2, kick="x...........", rim="......x.....", ride="x.x.x.x.x.x.", bass="x.....x.....",
                     keys="x.x.x.x.x.x."),
    "waltz": dict(beats=3, kick="X...........", snare="....o...o...", ride="x...x.x.x...", bass=["x...........", "x.......x..."],
                  keys="....x...x...", fill=dict(kick="X...........", snare="....x...xxxx")),
    "half_time": dict(beats=4, kick=["X.....x...x.....", "X..x..x........."], snare="........X.......", hat="x.xxx.x.x.xxx.xx",
                      bass=["x.....x...x.....", "x..x..x........."], pad="x...............",
                      fill=dict(kick="X.....x.........", snare="........X...x.xx")),
    "rock": dict(beats=4, kick=["X.......x.x.....", "X.....x.x......."], snare="....X.......X...", hat="X.x.X.x.X.x.X.x.",
                 bass="x.x.x.x.x.x.x.x.", pad="x.......x.......", fill=dict(kick="X.......x.......", snare="....X...xxxxXxXx")),
    "funk": dict(beats=4, kick=["X..x......x..x..", "X.x....x..x....."], snare=["....X..o.o..X..o", "....X..o.o..Xo.o"],
                 hat="xoxoxoxoxoxoxoxo", bass=["x..x....x.x..x..", "x.x...x...x...xx"], stab="..x....x..x..x..",
                 fill=dict(kick="X..x......x.....", snare="....X..o.oxxX.xx")),
    "blues": dict(beats=4, kick="X.....x.....", snare="...X.....X..", ride="x.xx.xx.xx.x", bass="x..x..x..x.x",
                  keys="..x..x..x..x", fill=dict(kick="X.....x.....", snare="...X..xxxxxx")),
    "two_step": dict(beats=4, kick=["X.........x.....", "X..x......x....."], snare="....X.......X...", hat="..x...x...x.o.x.",
                     bass=["x..x..x.....x...", "x.....x..x......"], stab="......x..x......", swing=0.56,
                     fill=dict(kick="X.........x.....", snare="....X..x..x.X.x.")),
    "ballad": dict(beats=4, kick="x.......x.o.....", snare="....x.......x...", hat="x.o.x.o.x.o.x.o.", bass="x.......x.....x.",
                   keys="x.x.x.x.x.x.x.x."),
    "piano": dict(beats=4, keys=["x...x.x.x...x.x.", "x.x.x...x.x.x.x."], bass="x.......x.......", lead=["x.....x.x.......", "x...x.......x.x."]),
    "strings_in_three": dict(beats=3, pad="x...........", bass="x...........", keys="....x...x...", lead=["x.......x.x.", "x..........."]),
}
DRUMS = ("kick", "snare", "clap", "hat", "open", "ride", "rim", "shaker", "conga", "crash")
PROGRESSIONS = [(0, 5, 3, 4), (0, 3, 4, 4), (5, 3, 0, 4), (0, 4, 5, 3), (0, 0, 3, 4)]
SCALE = (0, 2, 4, 5, 7, 9, 11)
LOUD = {"X": 118, "x": 98, "o": 56}


@dataclass
class Note:
    at_s: float
    voice: str
    velocity: int
    length_s: float
    pitch: int = 0  # MIDI key of tuned voices


@dataclass
class Score:
    notes: list = field(default_factory=list)
    beats: list = field(default_factory=list)  # (seconds, position in bar)
    end_s: float = 0


def write(style, bpm, bars, seed, *, lead_s=0.0, tempo=None, drift=0.0, feel_s=0.0, lag_s=0.0, drumless=(), sparse_intro=True):
    """`tempo(beat, beats)` replaces `bpm`; `drift`: spread of a slow random walk of the tempo, as a share of it;
    `feel_s`: spread of each stroke about its instant; `lag_s`: the snare is that much late; `drumless`: (from, to) bars."""
    rng = random.Random(f"{style}/{bpm}/{seed}")
    part, out, now, wander = STYLES[style], Score(), lead_s, 0.0
    root, progression = rng.randint(38, 46), rng.choice(PROGRESSIONS)
    instants = []
    for beat in range(bars * part["beats"] + 1):
        instants.append(now)
        wander = 0.92 * wander + rng.gauss(0, drift * 0.39) if drift else 0.0  # 0.39: the walk's spread is then `drift`
        now += 60 / ((tempo(beat, bars * part["beats"]) if tempo else bpm) * (1 + wander))
    for bar in range(bars):
        grid = instants[bar * part["beats"]:(bar + 1) * part["beats"] + 1]
        out.beats += [(t, i + 1) for i, t in enumerate(grid[:-1])]
        quiet = drumless and drumless[0] <= bar < drumless[1] or sparse_intro and bar < 4 and bars > 16
        filled = bar % 8 == 7 and "fill" in part and not quiet
        _play_bar(out.notes, part, bar, grid, quiet, filled, root, progression, rng, feel_s, lag_s)
    out.end_s = instants[-1]
    out.notes.sort(key=lambda n: (n.at_s, n.voice, n.pitch))
    return out


def _play_bar(notes, part, bar, grid, quiet, filled, root, progression, rng, feel_s, lag_s):
    degree = progression[bar // 2 % 4] if part["beats"] == 2 else progression[bar % 4]
    tone = lambda step, octave: root + 12 * octave + SCALE[(degree + step) % 7] + 12 * ((degree + step) // 7)
    beats = len(grid) - 1

    def instant(place):  # beats from the bar's start, inside the drifting grid
        i = min(int(place), beats - 1)
        return grid[i] + (place - i) * (grid[i + 1] - grid[i])

    if bar % 8 == 0 and not quiet and any(d in part for d in ("kick", "ride")):
        notes.append(Note(grid[0], "crash", 88, 1.5))
    for voice, steps in part.items():
        if voice in ("beats", "swing", "fill"):
            continue
        if filled and voice in DRUMS:
            steps = part["fill"].get(voice, "" if voice == "snare" else steps)
        if quiet and voice in DRUMS and not (voice in ("hat", "shaker", "ride") and bar < 4):
            continue
        _play_part(notes, voice, steps if isinstance(steps, str) else steps[bar % len(steps)], part, beats, instant, tone, rng,
                   feel_s, lag_s)
    if filled and "snare" not in part:
        _play_part(notes, "snare", part["fill"]["snare"], part, beats, instant, tone, rng, feel_s, lag_s)


def _play_part(notes, voice, steps, part, beats, instant, tone, rng, feel_s, lag_s):
    for i, sign in enumerate(steps):
        if sign == ".":
            continue
        place = i * beats / len(steps)
        if part.get("swing") and i % 2:
            place += (2 * part["swing"] - 1) * beats / len(steps)
        length = instant(min(place + beats / len(steps), beats)) - instant(place)
        at = max(0.0, instant(place) + rng.gauss(0, feel_s) + (lag_s if voice in ("snare", "clap") else 0))
        loud = LOUD[sign] + rng.randint(-7, 7)
        if voice in DRUMS:
            notes.append(Note(at, voice, loud, 0.2))
        elif voice == "bass":
            notes.append(Note(at, voice, loud, 1.7 * length, tone(0 if i == 0 or rng.random() < 0.75 else 4, 0) - 12))
        elif voice == "lead":
            notes.append(Note(at, voice, loud - 12, 3 * length, tone(rng.choice((0, 2, 4, 1, 6)), 2)))
        elif voice == "keys" and len(steps.replace(".", "")) > 3:  # a broken chord
            notes.append(Note(at, voice, loud - 18, 2 * length, tone((0, 4, 2, 7)[i // 2 % 4], 1)))
        else:
            long = {"pad": instant(beats) - instant(place), "stab": length, "keys": 2 * length}[voice]
            for third in (0, 2, 4):
                notes.append(Note(at, voice, loud - 22, 0.96 * long, tone(third, 1)))
