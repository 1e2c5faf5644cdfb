# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Part `job`: the sample from its first log to a cut with another limit, each a process of its own."""
import json
import os
import shutil

import measured
from analysis_stages import clips_in, decode

MOST_AGAIN_S = 0.15  # a cut of which nothing has changed
CUT_S = 60           # as long as the sample's cut is


def fresh_job(sample, folder):
    """The sample as its generator left it: what is changed is copied, the footage linked."""
    shutil.rmtree(folder, ignore_errors=True)
    os.makedirs(folder)
    for name in ("job.json", "log.csv", "song.wav"):
        shutil.copy(os.path.join(sample, name), folder)
    shutil.copytree(os.path.join(sample, "footage"), os.path.join(folder, "footage"), copy_function=os.link)


def clips_of(folder):
    footage = os.path.join(folder, "footage")
    return [clip for camera in sorted(os.listdir(footage)) for clip in clips_in(os.path.join(footage, camera))]


def change_limit(folder):
    path = os.path.join(folder, "job.json")
    with open(path, encoding="utf-8") as file:
        job = json.load(file)
    job["pacing"]["longest_s"] *= 0.9
    with open(path, "w", encoding="utf-8") as file:
        json.dump(job, file, indent=2)


def measure(bench):
    sample, folder = bench.sample(), os.path.join(bench.folder, "job")
    clips = clips_of(sample)
    begun = {"begin": lambda: fresh_job(sample, folder), "limit": lambda: change_limit(folder)}

    def step(word, before=None):
        def make():
            if before:
                begun[before]()
            return measured.run([bench.downball, word, folder])
        return make

    two = "0,1" if len(os.sched_getaffinity(0)) > 1 else "0"
    # The order counts: each finds what those before it have left.
    found = measured.interleaved({
        "decode": lambda: decode(clips, two, some_silent=True), "log": step("log", "begin"), "log again": step("log"), "cut": step("cut"),
        "again": step("cut"), "limit": step("cut", "limit"), "nothing": lambda: measured.run([bench.downball, "--version"])})
    row, start = bench.table.row, found["nothing"]
    row(f"first log, {len(clips)} clips", found["log"], floor=found["decode"], of="ffmpeg decoding their sound, 2 at once")
    row("second log, nothing new", found["log again"], floor=start, of="starting the program")
    row("first cut", found["cut"], material_s=CUT_S, floor=found["again"], of="the second cut")
    row("second cut, nothing changed", found["again"], material_s=CUT_S, floor=start, of="starting the program",
        target=f"<= {MOST_AGAIN_S} s", met=found["again"].wall_s <= MOST_AGAIN_S)
    row("cut with another limit", found["limit"], material_s=CUT_S, floor=found["cut"], of="the first cut")
    shutil.rmtree(folder)
