# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Small things a new user stumbles over, through the built program: each is said, where and when it helps."""
import json
import os
import re
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
import small_day  # noqa: E402
import sound_bank  # noqa: E402
from spoilt_jobs import change_job, change_row, run  # noqa: E402


def shots_of(folder):
    with open(os.path.join(folder, "out", "reel.report.json"), encoding="utf-8") as file:
        return json.load(file)["shots"]


def locks(bench):
    that, folder = bench.checks.that, bench.copy()
    shot = next(one["id"] for one in shots_of(folder) if "#" in one["id"])
    take, ms = shot.split("#")
    change_job(folder, lambda it: it.update(locks=[shot, shot[:-1]]))
    done = bench.refused("lock with a digit missing", 3, ["cut", "job.json"],
                         [r"job\.json.*/locks/1: found", re.escape(f"did you mean {shot}?")], folder)
    that("choosing shots" not in done.stderr, "an unknown lock is told before any search")
    change_job(folder, lambda it: it.update(locks=["T999#1"]))
    bench.refused("lock on no take", 3, ["cut", "job.json"], r"T999#1", folder)

    # Heard anew, the contact lies 12 ms earlier: the lock still holds.
    row = next(row for row in small_day.read_log(os.path.join(folder, "log.csv"))[1] if row["id"] == take)
    moved = " ".join(f"{float(word.split(':')[0]) - 0.012:.3f}:{word.split(':')[1]}" for word in row["contacts"].split())
    change_row(folder, os.path.basename(row["file"]), contacts=moved)
    change_job(folder, lambda it: it.update(locks=[shot]))
    done = bench.tool("cut", "job.json", cwd=folder)
    anew = f"{take}#{int(ms) - 12}"
    that(done.returncode == 0 and f"locks: {shot} is {anew} by now" in done.stderr,
         f"a lock whose contact was heard anew: exit {done.returncode}: {done.stderr}")
    that(anew in [one["id"] for one in shots_of(folder)], "that shot is in the cut")


def listening(bench):
    that, folder = bench.checks.that, bench.copy()
    done = bench.tool("log", "job.json", cwd=folder)
    that("8 clips found, 0 rows added to log.csv; listened to 0 of them" in done.stderr, f"log: {done.stderr}")
    change_row(folder, "K_02.mp4", contacts="")
    done = bench.tool("log", "job.json", cwd=folder)
    that("; listened to 1 of them" in done.stderr, f"log, one cell emptied: {done.stderr}")
    os.makedirs(os.path.join(folder, "new"))
    done = bench.tool("new", "footage", "--music", "song.wav", "--in", "new", cwd=folder)
    that("8 rows added to new/log.csv; listened to 8 of them" in done.stderr, f"new: {done.stderr}")


def rate(bench):
    that, folder = bench.checks.that, bench.copy()
    done = bench.tool("show", "out/reel.otio", "--rate", "50", cwd=folder)
    that(done.returncode == 0 and re.search(r"--rate is ignored for out/reel\.otio.* 25 frames", done.stderr),
         f"show an OTIO with --rate: {done.stderr}")
    for arguments in (["out/reel.edl", "--rate", "25"], ["out/reel.otio"]):
        done = bench.tool("show", *arguments, cwd=folder)
        that("ignored" not in done.stderr, f"show {arguments}: {done.stderr}")


def nothing_heard(bench):
    that, folder = bench.checks.that, bench.copy()
    sound_bank.write_wav(os.path.join(folder, "quiet.wav"), [0.0] * (3 * sound_bank.RATE))
    done = bench.tool("impacts", "quiet.wav", cwd=folder)
    that(done.returncode == 0 and not done.stdout and
         "quiet.wav: no contact heard from confidence 0.5 up; --floor 0 prints every candidate" in done.stderr,
         f"nothing heard: {done.stderr}")
    done = bench.tool("impacts", "quiet.wav", "--floor", "0", cwd=folder)
    that("no contact heard from confidence 0 up\n" in done.stderr, f"no candidate at all: {done.stderr}")
    done = bench.tool("impacts", "footage/K_01.mp4", cwd=folder)
    that(done.stdout and "no contact" not in done.stderr, f"contacts heard: {done.stderr}")


if __name__ == "__main__":
    run((locks, listening, rate, nothing_heard), "first-steps")
