# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""What the user says of a song: refused where it makes no sense, told by --json, obeyed by `beats` and by `cut`.

Truth: a click track of 120 beats a minute from its first sample on, its bars of four told by a brighter click.
"""
import json
import os
import sys

import jsonschema
import numpy as np

TESTS = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..")
sys.path.insert(0, os.path.join(TESTS, "support"))
from spoilt_jobs import change_job, run  # noqa: E402


def told(bench, *hints):
    done = bench.tool.must("beats", "song.wav", "--json", *hints, cwd=bench.good)
    return json.loads(done.stdout)


def command_line(bench):
    def refused(case, code, hints, *says):
        bench.refused(case, code, ["beats", "song.wav", *hints], says, bench.good)

    refused("tempo too slow", 2, ["--bpm", "10"], "--bpm", r"\b10\b", "20 to 400")
    refused("tempo that is no number", 2, ["--bpm", "nan"], "--bpm", "nan")
    refused("half and double", 2, ["--half", "--double"], "--half", "--double", "one of them")
    refused("tempo and half", 2, ["--bpm", "120", "--half"], "--bpm", "--half", "one of them")
    refused("tempo and double", 2, ["--double", "--bpm", "120"], "--bpm", "--double")
    refused("bars of five", 2, ["--metre", "5"], "--metre", r"\b5\b", "2, 3, 4 or 6")
    refused("beat one before the song", 2, ["--beat-one", "-1"], "--beat-one", "-1")
    refused("beat one that is endless", 2, ["--beat-one", "inf"], "--beat-one", "inf")
    refused("beat one after the song", 3, ["--beat-one", "99.5"], r"song\.wav", r"\b99\.5 s", r"14\.00 s")
    shown = bench.tool.must("beats", "--help").stdout
    for word in ("--bpm", "--half", "--double", "--beat-one", "--metre"):
        bench.checks.that(word in shown, f"beats --help does not show {word}")


def json_tells(bench):
    with open(os.path.join(TESTS, "..", "schemas", "beats.schema.json"), encoding="utf-8") as file:
        schema = json.load(file)
    for hints, said in (([], {}), (["--bpm", "61"], {"bpm": 61}), (["--half"], {"tempo": "half"}),
                        (["--double"], {"tempo": "double"}), (["--beat-one", "2.5", "--metre", "3"],
                                                              {"beat_one_s": 2.5, "beats_per_bar": 3})):
        got = told(bench, *hints)
        bench.checks.that(got.get("said") == said, f"--json with {hints}: said is {got.get('said')}")
        problems = [error.message for error in jsonschema.Draft7Validator(schema).iter_errors(got)]
        bench.checks.that(not problems, f"--json with {hints} does not fit its schema: {problems[:3]}")


def beats_obey(bench):
    that = bench.checks.that
    for hints, bpm in (([], 120), (["--half"], 60), (["--double"], 240), (["--bpm", "61"], 60), (["--bpm", "236"], 240)):
        got = told(bench, *hints)
        that(abs(got["tempo_bpm"] / bpm - 1) < 0.002, f"{hints}: {got['tempo_bpm']:.2f} a minute, expected {bpm}")
        seconds = np.array([beat["seconds"] for beat in got["beats"]])
        grid_s = min(0.5, 60 / bpm)  # at half the tempo, which half is not judged here
        off_s = np.abs(seconds - grid_s * np.round(seconds / grid_s))
        that(np.all(off_s < 0.005), f"{hints}: a beat lies {max(off_s):.3f} s off")
        that(np.all(np.abs(np.diff(seconds) - 60 / bpm) < 0.005), f"{hints}: beats are not {60 / bpm} s apart")
        that(len(seconds) >= 0.9 * 13.5 * bpm / 60, f"{hints}: {len(seconds)} beats in 14 s")
    for one_s, metre in ((2.5, 3), (0.5, 4), (1.5, 2), (4.0, 6), (13.0, 4)):
        got = told(bench, "--beat-one", one_s, "--metre", metre)
        downs = np.array([beat["seconds"] for beat in got["beats"] if beat["position"] == 1])
        bars = (downs - one_s) / (0.5 * metre)
        that(got["beats_per_bar"] == metre, f"--metre {metre}: {got['beats_per_bar']} beats a bar")
        that(len(downs) and np.all(np.abs(bars - np.round(bars)) * 0.5 * metre < 0.01),
             f"--beat-one {one_s} --metre {metre}: bars begin at {downs[:4]}")
        that(len(downs) and np.min(np.abs(downs - one_s)) < 0.01, f"--beat-one {one_s}: no bar begins there: {downs[:4]}")


def jobs(bench):
    folder = bench.copy()
    change_job(folder, lambda job: job["song"].update(bpm=120, tempo="half"))
    bench.refused("job with tempo and half", 3, ["cut", "job.json"], [r"job\.json /song/tempo", "half", "120"], folder)
    change_job(folder, lambda job: job["song"].update(bpm=None, tempo="found", beat_one_s=99.5))
    bench.refused("job with beat one after the song", 3, ["cut", "job.json"], [r"song\.wav", r"\b99\.5 s"], folder)
    change_job(folder, lambda job: job["song"].update(beat_one_s=1, beats_per_bar=5))
    bench.refused("job with bars of five", 3, ["cut", "job.json"], [r"job\.json /song/beats_per_bar", r"\b5\b"], folder)


def cut_obeys(bench):
    folder = bench.copy()
    change_job(folder, lambda job: job["song"].update(tempo="half"))
    done = bench.tool("cut", "job.json", cwd=folder)
    bench.checks.that(done.returncode == 0, f"cut at half the tempo: exit {done.returncode}, {done.stderr.strip()}")
    with open(os.path.join(folder, "out", "reel.report.json"), encoding="utf-8") as file:
        bpm = json.load(file)["beats"]["tempo_bpm"]
    bench.checks.that(abs(bpm - 60) < 0.2, f"cut at half the tempo: the report says {bpm} beats a minute")


if __name__ == "__main__":
    run((command_line, json_tells, jobs, beats_obey, cut_obeys), "song-hints")
