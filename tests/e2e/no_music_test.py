# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""`beats` on what is no music, or too little of it: a clear refusal or an honest doubt, never sure of beats made up.

From outside nothing is needed: there is no beat to find. Silence, a constant and one hit hold none at all (exit 3).
"""
import json
import os
import re
import sys

import numpy as np

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
import no_music  # noqa: E402
import small_day  # noqa: E402
import sound_bank  # noqa: E402
from run_tool import Checks, Tool, Workplace  # noqa: E402
from spoilt_jobs import ADVICE, CRASH  # noqa: E402

SEEDS = {"random hits": 30, "equal hits at random": 30}  # the likeliest to fall into step by chance; others 12
LENGTHS_S = (10, 24, 60)  # in turn: short ones are the likelier, too
HANG_S = 120


class Ear:
    def __init__(self, tool, checks, folder):
        self.tool, self.checks, self.path = tool, checks, os.path.join(folder, "sound.wav")

    def hear(self, case, samples, rate=sound_bank.RATE):
        """Confidence; 0 where the answer is that there is no beat (exit 3). Checks that the doubt is told."""
        sound_bank.write_wav(self.path, np.clip(samples, -1, 1), rate)
        done = self.tool("beats", "--json", self.path, timeout=HANG_S)
        if not self.checks.that(done.returncode in (0, 3) and not CRASH.search(done.stderr),
                                f"{case}: exit {done.returncode}, {done.stderr.strip()}"):
            return 1.0
        if done.returncode == 3:
            self.checks.that(not done.stdout and "sound.wav" in done.stderr and ADVICE.search(done.stderr),
                             f"{case}: exit 3 with {done.stdout[:60]!r}, {done.stderr.strip()!r}")
            return 0.0
        told = json.loads(done.stdout)
        low = told["confidence"] < 0.5
        self.checks.that(told["low_confidence"] == low and ("low confidence" in done.stderr) == low,
                         f"{case}: confidence {told['confidence']}, yet low_confidence {told['low_confidence']}, "
                         f"said: {done.stderr.strip()!r}")
        return told["confidence"]

    def refused(self, case, samples, *says):
        sound_bank.write_wav(self.path, samples)
        done = self.tool("beats", self.path, timeout=HANG_S)
        print(f"-- {case}: exit {done.returncode}, {done.stderr.strip()}")
        self.checks.that(done.returncode == 3 and not done.stdout, f"{case}: exit {done.returncode}, expected 3")
        self.checks.that(not CRASH.search(done.stderr) and ADVICE.search(done.stderr), f"{case}: no advice in {done.stderr!r}")
        for pattern in says:
            self.checks.that(re.search(pattern, done.stderr), f"{case}: the message does not say /{pattern}/")


def noises(ear):
    for kind, make in no_music.KINDS.items():
        seeds = SEEDS.get(kind, 12)
        found = [ear.hear(f"{kind}, seed {seed}", make(np.random.default_rng(seed), LENGTHS_S[seed % len(LENGTHS_S)]))
                 for seed in range(seeds)]
        sure = sum(confidence >= 0.5 for confidence in found)
        print(f"-- {kind:22} sure {sure} of {seeds}; confidences " + " ".join(f"{c:.2f}" for c in found))
        ear.checks.that(sure == 0, f"{kind}: sure of made-up beats in {sure} of {seeds}")


def nothing(ear):
    rate = sound_bank.RATE
    hit = np.zeros(12 * rate)
    hit[5 * rate:][:rate // 4] = 0.6 * small_day.thump(np.random.default_rng(1))
    for case, samples in (("digital silence", np.zeros(12 * rate)), ("a constant", np.full(12 * rate, 0.5)), ("one hit", hit)):
        ear.refused(case, samples, r"sound\.wav", r"no beat")


def too_short(ear):
    rate, random = sound_bank.RATE, np.random.default_rng(3)
    song = np.zeros(4 * rate)
    for beat in range(8):
        song[beat * rate // 2:][:rate // 4] += 0.6 * small_day.thump(random)
    for seconds in (0.01, 0.5, 1.9, 1.99):
        ear.refused(f"{seconds} s", song[:int(seconds * rate)], r"sound\.wav", rf"\b{seconds:.2f} s", r"2 s")
    # Four beats may be told, if they are the four there are, and they may not be told as sure in noise.
    ear.hear("2 s of thumps", song[:2 * rate])
    done = ear.tool("beats", ear.path)
    found = [float(line.split("\t")[0]) for line in done.stdout.splitlines()]
    print(f"-- 2 s of thumps: exit {done.returncode}, beats {found}, {done.stderr.strip()}")
    ear.checks.that(done.returncode == 3 or "low confidence" in done.stderr or np.allclose(found, [0, 0.5, 1, 1.5], atol=0.02),
                    f"2 s of thumps: sure of {found}")
    found = [ear.hear(f"2 s of white noise, seed {seed}", no_music.white(np.random.default_rng(seed), 2)) for seed in range(6)]
    found += [ear.hear(f"2 s of hits, seed {seed}", no_music.random_hits(np.random.default_rng(seed), 2)) for seed in range(6)]
    print("-- 2 s of noise or hits: confidences " + " ".join(f"{c:.2f}" for c in found))
    ear.checks.that(max(found) < 0.5, f"2 s of noise or hits: sure of made-up beats, confidence {max(found):.2f}")


def lines(ear):
    """A doubtful answer is still an answer: its lines are printed, and the doubt beside them."""
    for seed in range(40):
        sound_bank.write_wav(ear.path, no_music.equal_hits(np.random.default_rng(100 + seed), 20))
        done = ear.tool("beats", ear.path, timeout=HANG_S)
        if done.returncode == 0 and "low confidence" in done.stderr:
            ear.checks.that(all(re.fullmatch(r"\d+\.\d{6}\t\d+", line) for line in done.stdout.splitlines()),
                            "doubtful beats: the lines are not seconds and positions")
            print(f"-- doubtful beats: {len(done.stdout.splitlines())} lines, {done.stderr.strip()}")
            ear.checks.that(ear.tool("--quiet", "beats", ear.path).stdout == done.stdout, "doubtful beats: --quiet changes them")
            return
    print("-- none of 40 strings of equal hits gave a doubtful answer: all were refused")


def main():
    tool, checks = Tool(sys.argv[1]), Checks()
    with Workplace("no-music") as folder:
        ear = Ear(tool, checks, folder)
        for part in (nothing, too_short, noises, lines):
            part(ear)
    checks.finish()


if __name__ == "__main__":
    main()
