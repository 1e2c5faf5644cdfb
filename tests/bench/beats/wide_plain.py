# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""The plainest songs: clicks, a kick, a back-beat, and songs whose tempo steps or runs. Exact to the sample."""
import random

import own_songs
from tracks import Tempo, ramp, step

STYLES = {
    "click": dict(beats=4, rim="x...x...x...x..."),
    "ticks": dict(beats=4, hat="x...x...x...x..."),
    "kicks": dict(beats=4, kick="x...x...x...x..."),
    "kick_and_hat": dict(beats=4, kick="X...X...X...X...", hat="x.x.x.x.x.x.x.x."),
    "bare_back_beat": dict(beats=4, kick="X.......X.......", snare="....X.......X..."),
    "back_beat": dict(beats=4, kick="X.......X.......", snare="....X.......X...", hat="x.x.x.x.x.x.x.x."),
    "count_in_three": dict(beats=3, kick="X...........", rim="....x...x..."),
}
TEMPI = {"click": (56, 205), "ticks": (58, 208), "kicks": (60, 190), "kick_and_hat": (70, 170), "bare_back_beat": (80, 180),
         "back_beat": (70, 180), "count_in_three": (90, 180)}
CHANGES = {"step 92 108": step(92, 108), "step 126 106": step(126, 106, 0.4), "step 108 128": step(108, 128, 0.6),
           "step 101 122": step(101, 122), "step 117 96": step(117, 96, 0.45), "ramp 88 112": ramp(88, 112),
           "ramp 140 118": ramp(140, 118)}
NOISE_SEED = 1
SOURCES = ("own_synth.py", "corpus.py")  # what the sound depends on beside the score

# Names of our own beside those of the other sets, whose songs stay as they are.
if set(STYLES) & set(own_songs.STYLES):
    raise SystemExit("wide_plain.py: a style has the name of one in own_songs.py")
own_songs.STYLES.update(STYLES)


def scores(seed):
    """Name, score and whether it is of one tempo."""
    for style, (slow, fast) in TEMPI.items():
        count = 10 if style in ("click", "ticks") else 5
        for i in range(count):
            bpm = round(slow * (fast / slow) ** ((i + random.Random(f"{seed}/{style}/{i}").random()) / count), 1)
            bars = round(40 * bpm / 60 / STYLES[style]["beats"])
            yield f"plain_{style}_{i}", own_songs.write(style, bpm, bars, seed, sparse_intro=False), True
    for text, curve in CHANGES.items():
        for style in ("rock", "funk", "back_beat"):
            feel = random.Random(f"{seed}/{text}/{style}").choice((0.0, 0.005))
            yield (f"change_{style}_{text.replace(' ', '_')}",
                   own_songs.write(style, 100, 26, seed, tempo=Tempo(text, curve), feel_s=feel, sparse_intro=False), False)
