# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Beats and downbeats of songs whose truth is a MIDI tempo map, played by fluidsynth and scored by mir_eval.

Source of the truth: the tempo map (Standard MIDI Files 1.0, tempo meta event), not us. The sound font's drums begin
2 to 4 ms after the instant they are called for, and the synthesiser starts notes on blocks of 64 samples: hence 8 ms
where a sample-exact renderer would allow 5.
"""
import os
import sys
import tempfile

import numpy as np
from mir_eval import beat

import beat_patterns
from run_tool import Checks, Tool, need

STEADY = [("four_on_the_floor", 127, 32, {}), ("four_on_the_floor", 121, 32, {"drumless": (12, 20)}),
          ("backbeat", 97, 20, {}), ("rock_eighths", 152, 28, {}), ("breakbeat", 172, 40, {}),
          ("hip_hop_swing", 88, 20, {}), ("half_time", 144, 28, {}), ("waltz", 132, 36, {}), ("shuffle", 116, 24, {}),
          ("dembow", 94, 24, {}), ("ballad", 72, 16, {}), ("backbeat", 118, 24, {"lead_bars": 2})]
MOVING = [("backbeat", 100, 28, {"tempo_at": lambda bar: 98 + bar}),
          ("rock_eighths", 112, 28, {"tempo_at": lambda bar: 112 + (bar * 7 % 5) - 2, "jitter_s": 0.006})]


def beats_of(tool, track):
    rows = [line.split("\t") for line in tool.must("beats", track).stdout.splitlines()]
    return (np.array([float(row[0]) for row in rows]), np.array([float(row[0]) for row in rows if row[1] == "1"]))


def errors(truth, found):
    return np.array([found[np.argmin(np.abs(found - t))] - t for t in truth])


def main():
    checks, tool = Checks(), Tool(sys.argv[1])
    need(beat_patterns.SOUND_FONT, "fluid-soundfont-gm")
    scores = []
    with tempfile.TemporaryDirectory() as folder:
        for name, bpm, bars, how in STEADY + MOVING:
            data, truth, down = beat_patterns.song(name, bpm, bars, **how)
            midi, track = os.path.join(folder, "song.mid"), os.path.join(folder, "song.wav")
            with open(midi, "wb") as file:
                file.write(data)
            beat_patterns.render(midi, track)
            truth, down = np.array(truth), np.array(down)
            found, found_down = beats_of(tool, track)
            found, found_down = found[found < truth[-1] + 0.1], found_down[found_down < truth[-1] + 0.1]  # ring-out
            steady = (name, bpm, bars, how) in STEADY
            f70, f20 = beat.f_measure(truth, found), beat.f_measure(truth, found, 0.020)
            f_down, off = beat.f_measure(down, found_down), errors(truth, found)
            cml = beat.continuity(truth, found)[1]
            near, drift = np.mean(np.abs(off) < 0.008), abs(np.median(off[-16:]) - np.median(off[:16]))
            label = f"{name} at {bpm}"
            print(f"{label:26} F70 {f70:.3f} F20 {f20:.3f} CMLt {cml:.3f} downbeats {f_down:.3f} "
                  f"median {1e3 * np.median(off):+.1f} ms, end against start {1e3 * drift:.1f} ms")
            scores.append((f70, f20, cml, f_down))
            checks.that(f70 >= 0.98, f"{label}: F at 70 ms {f70:.3f}")
            checks.that(f20 >= (0.98 if steady else 0.90), f"{label}: F at 20 ms {f20:.3f}")
            checks.that(f_down >= 0.95, f"{label}: F of downbeats {f_down:.3f}")
            if steady:
                checks.that(near >= 0.95, f"{label}: {near:.3f} of the beats within 8 ms")
                checks.that(drift < 0.002, f"{label}: the end lies {1e3 * drift:.1f} ms off the start")
            if name == "backbeat" and not how:
                shows_errors(checks, truth, found)
    print("mean F70 %.3f F20 %.3f CMLt %.3f downbeats %.3f" % tuple(np.mean(scores, axis=0)))
    raise SystemExit(checks.finish())


def shows_errors(checks, truth, found):
    """The floors above must fail on beats that are late by 15 ms, halved, or on the off-beat."""
    checks.that(np.mean(np.abs(errors(truth, found + 0.015)) < 0.008) < 0.95, "15 ms late must fail")
    checks.that(beat.f_measure(truth, found[::2]) < 0.98, "half the beats must fail")
    checks.that(beat.f_measure(truth, found + 0.5 * np.median(np.diff(found))) < 0.98, "the off-beat must fail")


if __name__ == "__main__":
    main()
