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
from spoilt_jobs import change_row, run  # noqa: E402

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
    banned = next(shot for shot in old if shot["kind"] == "action")
    change_row(folder, os.path.basename(banned["file"]), use="never")
    done = bench.tool("cut", "job.json", cwd=folder)
    said = COUNTS.search(done.stderr)
    that(done.returncode == 0 and said, f"a take banned: the changes are told: {done.stderr}")
    if not said:
        return
    stay, of, moved, left, came = map(int, said.groups())
    new = report(folder)["shots"]
    that(left >= 1 and stay < of, f"a take banned: it left: {said.group(0)}")
    that(re.search(rf"^  - .* {re.escape(banned['id'])} ", done.stderr, re.M), f"its shot is named: {done.stderr}")
    that(all(shot["take"] != banned["take"] for shot in new), "a take banned: it is not shown")
    that(of == len(old) and stay + moved + left == of, f"a take banned: {of} shots are accounted for: {said.group(0)}")
    that(stay + moved + came == len(new), f"a take banned: so are the new ones: {said.group(0)}")
    lines = done.stderr.splitlines()
    for sign, number in (("-", left), ("+", came), (">", moved)):
        found = [line for line in lines if re.match(rf"  \{sign} \d\d:\d\d:\d\d[:;]\d\d ", line)]
        that(len(found) == number, f"a take banned: {number} lines with {sign}: {done.stderr}")


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
