# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""One tracker's beats on one track against the truth, by mir_eval's measures."""
from dataclasses import dataclass

import numpy as np
from mir_eval import beat

FIRST_S = 5.0  # mir_eval.beat.evaluate drops what comes before, so that a tracker may find its feet


@dataclass
class Score:
    f70: float
    f20: float
    cmlt: float
    amlt: float
    down: float  # nan: not known
    offset_ms: float  # median over the truth's beats that were hit within 70 ms; nan: none
    near: float  # share of the truth's beats with one within 5 ms; nan: not a steady track
    drift_ms: float  # median offset of the last 16 beats less that of the first 16; nan likewise, or off the beat
    level: float  # tempo found over tempo true
    cpu_s: float
    seconds: float

    @property
    def wrong_level(self):
        return not 0.92 < self.level < 1.08


def score(track, beats, downbeats, cpu_s):
    truth = beat.trim_beats(track.beats, FIRST_S)
    # The truth ends with the last note; beats in the ring-out after it are not held against anybody.
    keep = lambda x: x[(x >= FIRST_S) & (x <= track.beats[-1] + 0.07)]
    found = keep(np.array(beats))
    nan = float("nan")
    down = nan
    if track.downbeats is not None and downbeats is not None:
        down = beat.f_measure(keep(track.downbeats), keep(np.array(downbeats)))
    if len(found) < 2:
        return Score(0, 0, 0, 0, down, nan, 0 if track.steady else nan, nan, 0, cpu_s, track.seconds)
    off = np.array([found[np.argmin(np.abs(found - t))] - t for t in truth])
    hit = off[np.abs(off) <= 0.07]
    _, cmlt, _, amlt = beat.continuity(truth, found)
    steady = track.steady
    return Score(beat.f_measure(truth, found), beat.f_measure(truth, found, 0.020), cmlt, amlt, down,
                 1e3 * float(np.median(hit)) if len(hit) else nan, float(np.mean(np.abs(off) <= 0.005)) if steady else nan,
                 1e3 * float(np.median(off[-16:]) - np.median(off[:16])) if steady and len(hit) > 0.9 * len(off) else nan,
                 float(np.median(np.diff(truth)) / np.median(np.diff(found))), cpu_s, track.seconds)
