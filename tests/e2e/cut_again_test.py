# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Cutting again after a change: the last cut is an input, what changed is told, --fresh pays no heed to it."""
import json
import os
import re
import shutil
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
from run_tool import hashes  # noqa: E402
from spoilt_jobs import change_job, run  # noqa: E402

COUNTS = re.compile(r"since the last cut: (\d+) of (\d+) shots stay, (\d+) moved, (\d+) left, (\d+) came")


def uncut(bench):
    folder = bench.copy()
    shutil.rmtree(os.path.join(folder, "out"))
    return folder


def report(folder):
    with open(os.path.join(folder, "out", "reel.report.json"), encoding="utf-8") as file:
        return json.load(file)


def keep_of(folder):
    return next(term for term in report(folder)["score"]["terms"] if term["name"] == "keep")


def unchanged(bench):
    """Nothing changed: every shot stays, and from then on the very bytes do."""
    that, folder = bench.checks.that, uncut(bench)
    first = bench.tool("cut", "job.json", cwd=folder)
    that(first.returncode == 0 and not COUNTS.search(first.stderr), f"a first cut has nothing to compare: {first.stderr}")
    that(keep_of(folder)["points"] == 0, "a first cut keeps nothing")
    shots = [(s["id"], s["record"], s["source"]) for s in report(folder)["shots"]]
    second = bench.tool("cut", "job.json", cwd=folder)
    said = COUNTS.search(second.stderr)
    that(said and said.group(1) == said.group(2) == str(len(shots)), f"cut again, all stays: {second.stderr}")
    that([(s["id"], s["record"], s["source"]) for s in report(folder)["shots"]] == shots, "cut again: the same shots")
    that(keep_of(folder)["value"] > 0.999, f"cut again: all is kept: {keep_of(folder)}")
    before = hashes(folder)
    bench.tool("cut", "job.json", cwd=folder)
    that(hashes(folder) == before, "the same inputs, last report included, give the same bytes")


def changed(bench):
    """A take that may no longer be shown: said shot by shot."""
    that, folder = bench.checks.that, uncut(bench)
    bench.tool("cut", "job.json", cwd=folder)
    old = report(folder)["shots"]
    change_job(folder, lambda it: it.setdefault("pacing", {}).update(longest_s=1.0))
    done = bench.tool("cut", "job.json", cwd=folder)
    said = COUNTS.search(done.stderr)
    that(done.returncode == 0 and said, f"a changed limit: the changes are told: {done.stderr}")
    if not said:
        return
    stay, of, moved, left, came = map(int, said.groups())
    that(of == len(old) and stay + moved + left == of, f"a changed limit: {of} shots are accounted for: {said.group(0)}")
    that(stay + moved + came == len(report(folder)["shots"]), f"a changed limit: so are the new ones: {said.group(0)}")
    lines = done.stderr.splitlines()
    for sign, number in (("-", left), ("+", came), (">", moved)):
        found = [line for line in lines if re.match(rf"  \{sign} \d\d:\d\d:\d\d[:;]\d\d ", line)]
        that(len(found) == number, f"a changed limit: {number} lines with {sign}: {done.stderr}")


def fresh(bench):
    that, folder = bench.checks.that, uncut(bench)
    bench.tool("cut", "job.json", cwd=folder)
    before = hashes(folder)
    done = bench.tool("cut", "job.json", "--fresh", cwd=folder)
    that(done.returncode == 0 and not COUNTS.search(done.stderr), f"--fresh compares with nothing: {done.stderr}")
    that(hashes(folder) == before, "--fresh gives what the first cut gave")


def unreadable(bench):
    """A report of another form is no last cut; whether it may be overwritten is another matter."""
    that, folder = bench.checks.that, uncut(bench)
    bench.tool("cut", "job.json", cwd=folder)
    path = os.path.join(folder, "out", "reel.report.json")
    value = report(folder)
    del value["shots"]
    with open(path, "w", encoding="utf-8") as file:
        json.dump(value, file)
    done = bench.tool("cut", "job.json", cwd=folder)
    that(done.returncode == 0 and "report of the last cut is not used" in done.stderr and "shots" in done.stderr,
         f"a report without shots: exit {done.returncode}: {done.stderr}")


if __name__ == "__main__":
    run((unchanged, changed, fresh, unreadable), "cut_again")
