# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""What each stage costs, beside its floor, in one table; tests/bench/run tells how to call it."""
import argparse
import importlib
import os
import subprocess
import sys

import measured
from stage_table import Table

HERE = os.path.dirname(os.path.abspath(__file__))
PARTS = {"analysis": "analysis_stages", "song": "song_stages", "solve": "solve_stages", "writers": "writer_stages",
         "job": "job_stages", "growth": "growth"}


class Bench:
    """Where programs and media are; media are made when they are first asked for."""

    def __init__(self, build, folder):
        self.build, self.folder, self.table = build, folder, Table()
        self.downball = os.path.join(build, "bin", "downball")

    def program(self, name):
        """A bench program's path; one that is not built ends the run with its name."""
        path = os.path.join(self.build, "bench", name)
        return path if os.access(path, os.X_OK) else sys.exit(f"{path} is not there; build the target {name}")

    def has(self, name):
        return os.access(os.path.join(self.build, "bench", name), os.X_OK)

    def media(self, kind, *numbers):
        """A folder of clips, see stage_media.py."""
        folder = os.path.join(self.folder, "-".join(map(str, (kind, *numbers))))
        if not os.path.isdir(folder):
            self._make("stage_media.py", kind, folder + ".part", *numbers)
            os.rename(folder + ".part", folder)
        return folder

    def song(self):
        """Three minutes of a song with a beat."""
        path = os.path.join(self.folder, "song.wav")
        if not os.path.exists(path):
            self._make("stage_media.py", "song", path)
        return path

    def sample(self):
        """The sample's job, made once, as its generator leaves it."""
        folder = os.path.join(self.folder, "sample")
        if not os.path.exists(os.path.join(folder, "truth.json")):
            print("making the sample's media", file=sys.stderr)
            subprocess.run([os.path.join(self.build, "bin", "downball_sample"), folder], check=True, capture_output=True)
        return folder

    @staticmethod
    def _make(script, *words):
        print("making", *words, file=sys.stderr)
        subprocess.run([sys.executable, os.path.join(HERE, script), *map(str, words)], check=True)


def apart(bench):
    """Benches whose own tables say more than a line here, as they print them."""
    for words in (["hearing_bench"], ["decode_bench", os.path.join(bench.folder, "decode"), 1, 300]):
        if bench.has(words[0]):
            print(f"\n{words[0]}\n{measured.run([bench.program(words[0]), *words[1:]]).said}", flush=True)


def main():
    reader = argparse.ArgumentParser()
    reader.add_argument("parts", nargs="*", metavar="PART", choices=[*PARTS, "apart", []], help="which parts; all, if none is named")
    reader.add_argument("--build", required=True)
    reader.add_argument("--folder", required=True, help="for media and jobs; media are kept")
    reader.add_argument("--markdown", help="write the table there, too")
    asked = reader.parse_args()
    os.makedirs(asked.folder, exist_ok=True)
    machine = measured.machine()
    print(machine)
    bench = Bench(os.path.abspath(asked.build), os.path.abspath(asked.folder))
    parts = asked.parts or [*PARTS, "apart"]
    for part in (part for part in PARTS if part in parts):
        bench.table.part(part)
        importlib.import_module(PARTS[part]).measure(bench)
    bench.table.end()
    if asked.markdown:
        with open(asked.markdown, "w", encoding="utf-8") as file:
            file.write(bench.table.markdown(machine))
    if "apart" in parts:
        apart(bench)


if __name__ == "__main__":
    main()
