# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Sections and phrases against what composers wrote into their files: MIDI markers where a part begins (Standard MIDI
Files 1.0, marker meta event), in songs of Debian's simutrans-data. Loudness against FFmpeg's own meter.

The parts often differ by their tune alone, which nobody hears in levels and colours; so not all are asked for. These six
songs were looked at when the least novelty of a border and the cost of a short section were chosen: the figures are no
estimate for other songs. Song 50, at the tempo it is written in, is cut too often (6 of 11 right).
"""
import glob
import json
import os
import re
import subprocess
import sys
import tempfile

import beat_patterns
import smf
from run_tool import Checks, Tool, need

FOLDER = "/usr/share/games/simutrans/music"
ONE_BAR = 1.05  # a border one bar off is within one bar, whatever the rounding of the tempo
NUMBERS = (43, 47, 48, 49, 50, 52)  # whose markers name parts; others name chords or drum patterns


def parts(song):
    """(instant, name) of each part; credits and settings are no parts."""
    return [(song.seconds(tick), text.rstrip("0123456789 ")) for tick, text in sorted(song.markers.items())
            if text != "Setup" and "by " not in text]


def near(instant, among, within_s):
    return any(abs(instant - other) <= within_s for other in among)


def starts(form, kind):
    return [form["beats"][stretch["first_beat"]]["seconds"] for stretch in form[kind]]


def score(songs, shift_bars=0):
    """Counts over all songs; `shift_bars` moves what was found, to see that the floors notice."""
    count = dict(changes=0, changes_found=0, borders=0, borders_right=0, marks=0, marks_on_phrase=0)
    for truth, form in songs:
        bar = 60 / form["tempo_bpm"] * form["beats_per_bar"]
        borders = [t + shift_bars * bar for t in starts(form, "sections")[1:]]
        phrases = [t + shift_bars * bar for t in starts(form, "phrases")]
        marks = [t for t, _ in truth]
        changes = [t for (t, name), (_, before) in zip(truth[1:], truth) if name != before]
        count["changes"] += len(changes)
        count["changes_found"] += sum(near(t, borders, ONE_BAR * bar) for t in changes)
        count["borders"] += len(borders)
        count["borders_right"] += sum(near(t, marks, ONE_BAR * bar) for t in borders)
        count["marks"] += len(marks)
        count["marks_on_phrase"] += sum(near(t, phrases, bar / 2) for t in marks)
    return count


def measured_by_ffmpeg(track):
    told = subprocess.run(["ffmpeg", "-nostdin", "-hide_banner", "-nostats", "-i", track, "-af", "ebur128=framelog=verbose",
                           "-f", "null", "-"], capture_output=True, text=True, check=True).stderr
    return float(re.findall(r"I:\s+(-?[\d.]+) LUFS", told)[-1])


def main():
    checks, tool, songs = Checks(), Tool(sys.argv[1]), []
    need(FOLDER, "simutrans-data")
    need(beat_patterns.SOUND_FONT, "fluid-soundfont-gm")
    with tempfile.TemporaryDirectory() as folder:
        for number in NUMBERS:
            midi, track = glob.glob(f"{FOLDER}/{number}-*.mid")[0], os.path.join(folder, "song.wav")
            beat_patterns.render(midi, track)
            form = json.loads(tool.must("beats", "--json", track).stdout)
            songs.append((parts(smf.read(midi)), form))
            one, theirs = score(songs[-1:]), measured_by_ffmpeg(track)
            print(f"song {number}: part changes {one['changes_found']}/{one['changes']}, sections begun at a marker "
                  f"{one['borders_right']}/{one['borders']}, markers on a phrase {one['marks_on_phrase']}/{one['marks']}, "
                  f"phrases of {form['bars_per_phrase']} ({form['phrase_confidence']:.2f}); "
                  f"{form['loudness_lufs']:.2f} LUFS, FFmpeg {theirs:.1f}")
            # FFmpeg rounds to 0.1, and both may be off by as much as EBU Tech 3341 allows.
            checks.that(abs(form["loudness_lufs"] - theirs) <= 0.15, f"song {number}: {form['loudness_lufs']} {theirs}")
    full, moved = score(songs), score(songs, 2)
    print(full)
    checks.that(full["changes_found"] >= 0.5 * full["changes"], "half of the part changes found")
    checks.that(full["borders_right"] >= 0.7 * full["borders"], "seven of ten sections begin at a marker")
    checks.that(full["marks_on_phrase"] >= 0.6 * full["marks"], "six of ten markers stand where a phrase begins")
    checks.that(moved["borders_right"] < 0.35 * moved["borders"], "sections moved by two bars must fail")
    checks.that(moved["marks_on_phrase"] < 0.3 * moved["marks"], "phrases moved by two bars must fail")
    checks.finish()


if __name__ == "__main__":
    main()
