# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""From a raw folder to a cut by README's own commands, judged by the sample's ground truth: clocks, moments, guesses of
kind."""
import collections
import csv
import itertools
import json
import os
import re
import shlex

README = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "..", "README.md")


def commands():
    """The commands of the first block under "Your own footage", as they stand there."""
    with open(README, encoding="utf-8") as file:
        section = file.read().split("## Your own footage", 1)[1]
    block = re.search(r"(?:^    .*\n)+", section, re.M).group(0)
    return [shlex.split(line, comments=True)[1:] for line in block.splitlines()
            if line.strip().startswith("downball ")]


class RawWalk:
    def __init__(self, checks, tool, sample, folder):
        self.that, self.tool, self.sample, self.folder = checks.that, tool, sample, folder
        with open(os.path.join(sample, "truth.json"), encoding="utf-8") as file:
            self.truth = json.load(file)

    def path(self, *names):
        return os.path.join(self.folder, *names)

    def rows(self):
        with open(self.path("log.csv"), encoding="utf-8", newline="") as file:
            rows = list(csv.DictReader(file))
        for row in rows:
            row["truth"] = self.truth["clips"]["footage/" + row["file"].split("/footage/", 1)[1]]
        return rows

    def run(self):
        told = {"/path/to/footage": os.path.join(self.sample, "footage"), "song.wav": os.path.join(self.sample, "song.wav")}
        walk = commands()
        self.that([words[0] for words in walk[:2]] == ["new", "cut"], f"README begins with new and cut: {walk}")
        for words in walk:
            done = self.tool(*[told.get(word, word) for word in words], cwd=self.folder)
            self.that(done.returncode == 0, f"README: downball {' '.join(words)}: {done.stderr}")
            if words[0] == "new":
                self.clocks(done.stderr)
                first = self.bytes_of("log.csv")
        self.that(os.path.exists(self.path("out", "footage.mp4")), "README's walk ends with a preview")
        self.tool.must("log", ".", cwd=self.folder)
        self.that(self.bytes_of("log.csv") == first, "bringing the log up to date with nothing new changes no byte")
        rows = self.rows()
        self.kinds(rows)
        self.moments(rows)
        self.order(rows)

    def bytes_of(self, name):
        with open(self.path(name), "rb") as file:
            return file.read()

    def clocks(self, said):
        with open(self.path("job.json"), encoding="utf-8") as file:
            cameras = json.load(file)["cameras"]
        self.that(sorted(cameras) == ["CAM_A", "CAM_B", "CAM_C"], f"the cameras are the folders: {sorted(cameras)}")
        ahead = {f"CAM_{name}": camera["clock_ahead_s"] for name, camera in self.truth["cameras"].items()}
        for camera, settings in cameras.items():
            found, wanted = settings["clock_offset_s"], ahead["CAM_A"] - ahead[camera]
            print(f"clock of {camera}: {found:+.2f} s, in truth {wanted:+.2f} s")
            self.that(abs(found - wanted) < 0.1, f"the clock of {camera} is off by {found - wanted:+.3f} s")
        self.that(len(re.findall(r"rallies that CAM_A heard as well; confidence", said)) == 2, f"new tells two clocks: {said}")

    def kinds(self, rows):
        table = collections.Counter((row["truth"]["kind"], row["kind"]) for row in rows)
        guesses = sorted({guess for _, guess in table})
        print("kinds, in truth and as guessed:" + "".join(f"{guess:>10}" for guess in guesses))
        for kind in sorted({kind for kind, _ in table}):
            print(f"{kind:>31}" + "".join(f"{table[kind, guess]:>10}" for guess in guesses))
        right = sum(count for (kind, guess), count in table.items() if kind == guess)
        print(f"{right} of {len(rows)} kinds guessed right")
        self.that(all(row["note"].startswith("kind guessed") for row in rows), "each guess is marked as one")
        missed = [row["file"] for row in rows if (row["truth"]["kind"] == "action") != (row["kind"] == "action")]
        self.that(not missed, f"actions not guessed, or guessed where there are none: {missed}")
        self.that(right >= 0.8 * len(rows), f"only {right} of {len(rows)} kinds are right")

    def moments(self, rows):
        together = split = mixed = 0
        for one, other in itertools.combinations(rows, 2):
            truth = one["truth"]["moment"] != "" and one["truth"]["moment"] == other["truth"]["moment"]
            said = one["moment"] != "" and one["moment"] == other["moment"]
            together, split, mixed = together + (truth and said), split + (truth and not said), mixed + (said and not truth)
        print(f"moments: {together} pairs of takes together, {split} split, {mixed} mixed")
        self.that(mixed == 0 and split <= together / 10, f"{split} pairs split, {mixed} mixed")

    def order(self, rows):
        began = [row["began"] for row in rows]
        self.that(all(began) and began == sorted(began), "new rows stand in the order of the day")
