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
    """Nothing changed: the last run's files are the answer, and stay untouched."""
    that, folder = bench.checks.that, uncut(bench)
    first = bench.tool("cut", "job.json", "--preview", "--sheet", cwd=folder)
    that(first.returncode == 0 and not COUNTS.search(first.stderr), f"a first cut has nothing to compare: {first.stderr}")
    that(keep_of(folder)["points"] == 0, "a first cut keeps nothing")
    shots = len(report(folder)["shots"])
    before, times = hashes(folder), times_of(folder)
    second = bench.tool("cut", "job.json", "--preview", "--sheet", cwd=folder)
    said = COUNTS.search(second.stderr)
    that(said and said.group(1) == said.group(2) == str(shots), f"cut again, all stays: {second.stderr}")
    that("nothing that decides the cut has changed" in second.stderr, f"and why: {second.stderr}")
    that(hashes(folder) == before and times_of(folder) == times, "no output was written again")
    that(second.stdout == first.stdout, "the same files are told")
    told = [line for line in first.stderr.splitlines() if not line.startswith("since the last cut")]
    again = [line for line in second.stderr.splitlines() if not line.startswith("since the last cut")]
    that(again == told, f"the same notes and figures:\n{first.stderr}\n{second.stderr}")


def times_of(folder):
    out = os.path.join(folder, "out")
    return {name: os.stat(os.path.join(out, name)).st_mtime_ns for name in os.listdir(out)}


def resolved(bench):
    """What decides nothing may still ask for a new search: it ends at the same cut, and then at the same bytes."""
    that, folder = bench.checks.that, uncut(bench)
    bench.tool("cut", "job.json", cwd=folder)
    shots = [(s["id"], s["record"], s["source"]) for s in report(folder)["shots"]]
    before = None
    for note in ("windy", "sunny"):
        change_row(folder, os.path.basename(report(folder)["shots"][0]["file"]), note=note)
        done = bench.tool("cut", "job.json", cwd=folder)
        said = COUNTS.search(done.stderr)
        that(said and said.group(1) == said.group(2) == str(len(shots)), f"a note in the log, all stays: {done.stderr}")
        that("nothing that decides" not in done.stderr, f"the log is another: {done.stderr}")
        that([(s["id"], s["record"], s["source"]) for s in report(folder)["shots"]] == shots, "the same shots")
        that(keep_of(folder)["value"] > 0.999, f"all is kept: {keep_of(folder)}")
        lists = {name: seen for name, seen in hashes(folder).items() if name.endswith((".edl", ".otio", ".wav"))}
        before = lists if note == "windy" else before
    that(lists == before, "the same decisive inputs, last report included, give the same lists")


def touched(bench):
    """An answer is only what still stands as it was written, of the very same clips."""
    that, folder = bench.checks.that, uncut(bench)
    bench.tool("cut", "job.json", cwd=folder)
    with open(os.path.join(folder, "out", "reel.edl"), "a", encoding="utf-8") as file:
        file.write("* BY HAND\r\n")
    done = bench.tool("cut", "job.json", cwd=folder)
    that(done.returncode == 5 and "changed since" in done.stderr, f"a list changed by hand: exit {done.returncode}: {done.stderr}")
    done = bench.tool("cut", "job.json", "--force", cwd=folder)
    that(done.returncode == 0 and "nothing that decides" not in done.stderr, f"--force makes it anew: {done.stderr}")
    os.remove(os.path.join(folder, "out", "reel.otio"))
    done = bench.tool("cut", "job.json", cwd=folder)
    that(done.returncode == 0 and os.path.exists(os.path.join(folder, "out", "reel.otio")), f"a list that is gone comes back: {done.stderr}")
    with open(os.path.join(folder, "footage", report(folder)["shots"][0]["file"]), "r+b") as file:
        file.seek(0, os.SEEK_END)
        file.write(b"\0" * 16)
    done = bench.tool("cut", "job.json", cwd=folder)
    that("nothing that decides" not in done.stderr, f"a clip of other content: {done.stderr}")


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
    run((unchanged, resolved, touched, changed, fresh, unreadable), "cut_again")
