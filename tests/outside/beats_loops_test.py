# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Tempo of recorded drum and synth loops by many hands: Debian's sonic-pi-samples.

Source of the truth: a loop cut to be repeated holds a whole number of beats, so its own length states its tempo; how
many beats each holds is the count of its common tempo (97, 120, 126, 137, 140, 148 BPM; loop_drone_g_97 states 97 in
its name, and 4.948 s are 8 beats at 97). Each loop is repeated for 45 s. Not all are right: the table below shows
each, and the floors say how many must be. One has the right tempo but is not exact: loop_perc2 is followed as if played
live, with low confidence, on beats that wander from 0.20 to 0.27 s behind the loop's own. So its count is 3.994 instead of
4, and no beat falls on its start.
"""
import os
import subprocess
import sys
import tempfile

import numpy as np

from run_tool import Checks, Tool, need

SAMPLES = "/usr/share/sonic-pi/samples"
BEATS = {"loop_amen": 4, "loop_amen_full": 16, "loop_breakbeat": 4, "loop_compus": 16, "loop_electric": 4,
         "loop_garzul": 16, "loop_industrial": 2, "loop_mehackit1": 4, "loop_mehackit2": 4, "loop_mika": 16,
         "loop_perc1": 4, "loop_perc2": 4, "loop_safari": 16}


def length_s(path):
    shown = subprocess.run(["ffprobe", "-v", "error", "-show_entries", "stream=duration_ts,sample_rate", "-of", "csv=p=0",
                            path], check=True, capture_output=True, text=True).stdout.strip().split(",")
    return int(shown[1]) / int(shown[0])


def main():
    checks, tool = Checks(), Tool(sys.argv[1])
    need(SAMPLES, "sonic-pi-samples")
    right = exact = started = octave = 0
    with tempfile.TemporaryDirectory() as folder:
        for name, beats in BEATS.items():
            loop, track = os.path.join(SAMPLES, name + ".flac"), os.path.join(folder, "track.wav")
            loop_s = length_s(loop)
            subprocess.run(["ffmpeg", "-v", "error", "-y", "-stream_loop", str(int(45 / loop_s)), "-i", loop, track], check=True)
            found = np.array([float(line.split("\t")[0]) for line in tool.must("beats", track).stdout.splitlines()])
            period = (found[-1] - found[0]) / (len(found) - 1)
            counted = loop_s / period
            phase = (found + loop_s / 2) % loop_s - loop_s / 2
            start = phase[np.argmin(np.abs(phase))]
            is_right = abs(counted / beats - 1) < 0.01
            right += is_right
            exact += abs(counted / beats - 1) < 0.0005
            octave += abs(counted / beats - 2) < 0.02 or abs(counted / beats - 0.5) < 0.005
            started += is_right and abs(start) < 0.020
            print(f"{name:16} {loop_s:.3f} s, {beats:2} beats, counted {counted:6.3f}; nearest to its start {1e3 * start:+.1f} ms")
    print(f"of {len(BEATS)}: right tempo {right}, within 0.05 % {exact}, half or double {octave}, beat on the start {started}")
    checks.that(right >= 12, f"{right} of {len(BEATS)} loops at the right tempo, expected 12")
    checks.that(exact >= 12, f"{exact} of {len(BEATS)} within 0.05 %, expected 12")
    checks.that(started >= 12, f"{started} loops with a beat within 20 ms of their start, expected 12")
    raise SystemExit(checks.finish())


if __name__ == "__main__":
    main()
