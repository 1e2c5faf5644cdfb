# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""A floor under the beats of eight tracks, scored by mir_eval, and the proof that the floor bites.

Truth: of four patterns and the coded one, the score they are synthesised from, exact to the sample; of two packaged songs,
their MIDI tempo map; of a packaged loop, its length. The packaged ones are the first by name of the bench's development
half. The floors are a guard against decay: where the beats are, the goals of the bench's table; a single track may lie
lower, by what is said in ONE. The goal for downbeats, a mean of .85, is not met on these eight (.831 when the floor was
set), so theirs lies under what is reached: the six-eight is counted as twelve-eight, every second downbeat (F .667), and a
song under FAULTY begins its bars a beat late.
"""
import os
import sys
import warnings

import numpy as np

TESTS = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..")
sys.path[:0] = [os.path.join(TESTS, "support"), os.path.join(TESTS, "bench", "beats")]
import corpus  # noqa: E402
import flat_midi  # noqa: E402
from run_tool import Checks, Tool, Workplace, need  # noqa: E402
from score import score  # noqa: E402

# At least F at 70 ms, F at 20 ms, CMLt, F of downbeats; at most median offset in ms. Offset of all = median of the tracks'.
ALL = dict(f70=0.95, f20=0.90, cmlt=0.92, down=0.80, offset_ms=3.0)
ONE = dict(f70=0.90, f20=0.80, cmlt=0.80, down=0.65, offset_ms=7.0)  # less than half of the 15 ms that must be noticed
# A known fault: the song's first notes lie 74 dB under its loudest, so that the music seems to begin on beat 2 and all bars
# come a beat late (F 0). Its downbeats do not count singly, only in the mean; its beats count as any.
FAULTY = ("chemistry_lab",)
# Tempi at which the bench plays none of these styles.
OWN = {"house": ("house", 122, 26, {}), "hip-hop swing": ("hip_hop", 86, 18, {}), "waltz": ("waltz", 144, 36, {}),
       "six-eight": ("six_eight", 80, 28, {}), "rock, AAC": ("rock", 121, 26, {"codec": "aac"})}


def tracks():
    own = [corpus.Track(name, "pattern", dict(style=style, bpm=bpm, bars=bars, by="synth", **how), True)
           for name, (style, bpm, bars, how) in OWN.items()]
    songs = [name for name in corpus.development("map") if not name.startswith("game_")][:2]
    return own + [corpus.music_track(name) for name in songs] + [corpus.loop_track(corpus.development("loop")[0])]


def heard(tool, track):
    rows = [line.split("\t") for line in tool("beats", track.song).stdout.splitlines()]  # none where no beat was found
    return np.array([float(row[0]) for row in rows]), np.array([row[1] == "1" for row in rows], bool)


def true(track):
    return track.beats, np.isin(track.beats, track.downbeats if track.downbeats is not None else [])


def off_beat(beats, ones):
    return (beats[:-1] + beats[1:]) / 2, ones[:-1]


SPOILT = {"15 ms late": lambda beats, ones: (beats + 0.015, ones), "15 ms early": lambda beats, ones: (beats - 0.015, ones),
          "every second beat": lambda beats, ones: (beats[::2], ones[::2]), "on the off-beat": off_beat}


def scored(track, beats, ones):
    return score(track, beats, beats[ones], 0)


def figures(scores):
    """Means, and the median of the offsets; of one track, its own. What is not known of a track does not count."""
    known = lambda name: [getattr(s, name) for s in scores if not np.isnan(getattr(s, name))]
    out = {name: float(np.mean(known(name) or [np.nan])) for name in ("f70", "f20", "cmlt", "down")}
    out["offset_ms"] = float(np.median(known("offset_ms"))) if known("offset_ms") else float("inf")
    return out


def under(found, floor):
    """The figures that lie under the floor, each in words."""
    return {name: f"{name} {found[name]:.3f}" for name, wanted in floor.items()
            if (abs(found[name]) > wanted if name == "offset_ms" else found[name] < wanted)}


def floor_of_one(track):
    return {name: wanted for name, wanted in ONE.items() if name != "down" or track.name not in FAULTY}


def words(low):
    return ", ".join(low.values()) or "nothing"


def row(name, found):
    return (f"{name:24} F70 {found['f70']:.3f}  F20 {found['f20']:.3f}  CMLt {found['cmlt']:.3f}  "
            f"downbeats {found['down']:.3f}  offset {found['offset_ms']:+.1f} ms")


def judge(checks, played, answers):
    """Prints the table; gives the figures of all that lie under their floor."""
    for track, (beats, ones) in zip(played, answers):
        found = figures([scored(track, beats, ones)])
        print(row(track.name, found))
        low = under(found, floor_of_one(track))
        checks.that(not low, f"{track.name}: {words(low)}")
    found = figures([scored(t, *answer) for t, answer in zip(played, answers)])
    print(row("all", found))
    low = under(found, ALL)
    checks.that(not low, f"all: {words(low)}")
    return low


def bites(checks, played, answers, already):
    """What was heard must, when spoilt, fall under the floor of all by a figure that it held before. The truth must pass
    the floor of one on each track, and fall under it when spoilt."""
    for way, spoil in SPOILT.items():
        low = under(figures([scored(t, *spoil(*answer)) for t, answer in zip(played, answers)]), ALL)
        print(f"as heard, {way}: under the floor: {words(low)}")
        checks.that(low.keys() - already.keys(), f"beats as heard, {way}, pass the floor as they did before")
    for track in played:
        checks.that(not under(figures([scored(track, *true(track))]), ONE), f"{track.name}: the truth falls under the floor")
        for way, spoil in SPOILT.items():
            low = under(figures([scored(track, *spoil(*true(track)))]), ONE)
            print(f"truth of {track.name}, {way}: under the floor: {words(low)}")
            checks.that(low, f"{track.name}: the truth {way} passes the floor")


def main():
    warnings.filterwarnings("ignore", "(Estimated|Reference) beats are empty")  # that is what the scores then say
    checks, tool = Checks(), Tool(sys.argv[1])
    need(flat_midi.SOUND_FONT, "fluid-soundfont-gm")
    need(corpus.MUSIC_FOLDER, "openttd-openmsx")
    need(corpus.LOOP_FOLDER, "sonic-pi-samples")
    with Workplace("beats-floor") as folder:
        played, delay_s = tracks(), corpus.font_delay_s(folder)
        for track in played:
            corpus.make(track, folder, delay_s)
        answers = [heard(tool, track) for track in played]
    already = judge(checks, played, answers)
    bites(checks, played, answers, already)
    checks.finish()


if __name__ == "__main__":
    main()
