# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Part `growth`: ten times the clips, how many times the time. The ratios are to a tenth of the clips: 10 is linear."""
import csv
import itertools
import os
import shutil

import measured

COUNTS = (10, 100, 1_000, 10_000)
MOST_READ_S = 2.0  # what `cut` may take to read 10,000 clips from the folder
SHORT_S = 1.2      # see stage_media.py


def clips_of(bench, count):
    """A folder with the first so many clips, both cameras alike; the same files, under other names."""
    source = bench.media("short", COUNTS[-1])
    folder = os.path.join(bench.folder, f"job-{count}")
    shutil.rmtree(folder, ignore_errors=True)
    for camera in "AB":
        os.makedirs(os.path.join(folder, "footage", camera))
    for place in itertools.islice((f"{camera}/{camera}_{rally:05d}.mov" for rally in itertools.count() for camera in "AB"), count):
        os.link(os.path.join(source, place), os.path.join(folder, "footage", place))
    shutil.copy(bench.song(), os.path.join(folder, "song.wav"))
    return folder


def tag(log):
    """Each row as a person would, whatever was guessed."""
    with open(log, newline="", encoding="utf-8") as file:
        header, *rows = csv.reader(file)
    at = {name: index for index, name in enumerate(header)}
    for index, row in enumerate(rows):
        row[at["kind"]], row[at["skills"]] = "action", "set attack"
        row[at["players"]], row[at["size"]] = "abcd"[index % 4], ("wide", "medium", "tight")[index % 3]
    with open(log, "w", newline="", encoding="utf-8") as file:
        csv.writer(file, lineterminator="\r\n").writerows([header, *rows])


def parts_of(said):
    """What gather_bench printed: name -> Cost."""
    found = {}
    for line in said.splitlines():
        words = [word for word in line.split("  ") if word.strip()]
        if len(words) == 3:
            found[words[0].strip()] = measured.Cost(float(words[1]), float(words[2]), 0)
    return found


def read_again(bench, folder):
    """Medians of each part, and the process as a whole."""
    runs = [measured.run([bench.program("gather_bench"), folder]) for _ in range(3)]
    each = [parts_of(run.said) for run in runs]
    return measured.median(runs), {name: measured.median([parts[name] for parts in each]) for name in each[0]}


def measure(bench, counts=COUNTS):
    before = {}

    def row(name, count, cost, **more):
        shown = f"{name}, {count:,} clips"
        last = before.get(name)
        bench.table.row(shown, cost, floor=last, of="a tenth of the clips; 10 = linear" if last else None, **more)
        before[name] = cost

    for count in counts:
        folder = clips_of(bench, count)
        downball = lambda *words: measured.run([bench.downball, *words], cwd=folder)  # noqa: E731
        row("analysis, from nothing", count, downball("impacts", "--out", "analysis", "footage"), material_s=count * SHORT_S)
        row("analysis, all kept", count, downball("impacts", "--out", "analysis", "footage"), material_s=count * SHORT_S)
        row("new, all kept", count, downball("new", "footage", "--music", "song.wav"))
        row("log, nothing new", count, downball("log", "."))
        tag(os.path.join(folder, "log.csv"))
        whole, parts = read_again(bench, folder)
        for name, cost in parts.items():
            if name != "with the song":
                cost.peak_mb = whole.peak_mb if name == "log and clips, whole" else 0
                last = name == "log and clips, whole" and count == COUNTS[-1]
                row(f"reading: {name}", count, cost, target=f"<= {MOST_READ_S:.0f} s" if last else None,
                    met=cost.wall_s <= MOST_READ_S)
        shutil.rmtree(folder)
