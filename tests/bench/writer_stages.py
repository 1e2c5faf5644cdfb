# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Part `writers`: lists, page and preview, by the bench programs that hold them alone."""
import os
import re

import measured

SHOTS = 10_000
PREVIEW_S = 59.2  # what preview_bench renders
PREVIEW_ROUNDS = 2


def columns(line):
    return [word.strip() for word in re.split(r" {2,}", line.strip())]


def lists(bench):
    run = measured.run([bench.program("lists_bench"), SHOTS])
    for line in run.said.splitlines():
        told = re.match(r"(.+?) +([0-9.]+) MB +([0-9.]+) s$", line)
        if told:
            cost = measured.Cost(float(told[3]), float(told[3]), run.peak_mb)
            bench.table.row(f"lists of {SHOTS:,} shots: {told[1]}, {told[2]} MB", cost)


def stages(bench):
    """The stages of the sample's cut inside one process: per minute of cut, beside decoding the clips' sound."""
    run = measured.run([bench.program("stages_bench"), bench.sample()])
    decoding = None
    for line in run.said.splitlines():
        words = columns(line)
        if len(words) < 3 or words[0] == "stage" or not re.match(r"^[0-9. ]+$", " ".join(words[2:])):
            continue
        minutes, cpu, wall, _ = (float(word) for word in " ".join(words[2:]).split())
        cost = measured.Cost(wall * minutes, cpu * minutes, 0)
        bench.table.row(f"sample: {words[0]}", cost, material_s=60 * minutes, floor=decoding,
                        of="decoding the clips' sound" if decoding else None)
        decoding = decoding or cost


def preview(bench):
    folder = os.path.join(bench.folder, "preview")
    run = measured.run([bench.program("preview_bench"), folder, PREVIEW_ROUNDS])
    fps = "?"
    for line in run.said.splitlines():
        fps = told[1] if (told := re.match(r"1080p at (\d+)", line)) else fps
        if line.startswith("best"):
            ours_wall, ours_cpu, wall, cpu = (float(word) for word in line.split()[1:5])
            bench.table.row(f"preview of {PREVIEW_S:.0f} s of 1080p{fps}, best of {PREVIEW_ROUNDS}",
                            measured.Cost(ours_wall, ours_cpu, run.peak_mb), material_s=PREVIEW_S,
                            floor=measured.Cost(wall, cpu, 0), of="ffmpeg, the same trims and coding")
        elif told := re.match(r"(\d+ stills) of .*: ([0-9.]+) s, cpu ([0-9.]+) s", line):
            bench.table.row(f"{told[1]} of 1080p{fps}", measured.Cost(float(told[2]), float(told[3]), 0))


def measure(bench):
    lists(bench)
    stages(bench)
    preview(bench)
