# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""`cut --from`: lists that are none of this job's, or that cannot be taken back; what stands above them."""
import json
import os
import shutil
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
from edit_otio import Edit  # noqa: E402
from spoilt_jobs import change_job, change_row, run  # noqa: E402

GOLDEN = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "golden")


def edited(folder, change, name="edited.otio"):
    edit = Edit(os.path.join(folder, "out", "reel.otio"))
    change(edit)
    edit.save(os.path.join(folder, name))
    return name


def report(folder):
    with open(os.path.join(folder, "out", "reel.report.json"), encoding="utf-8") as file:
        return json.load(file)


def write(folder, name, text):
    with open(os.path.join(folder, name), "w", encoding="utf-8", newline="") as file:
        file.write(text)
    return name


def refused(bench):
    """Nothing is written, and what to do is said."""
    folder = bench.copy()
    cases = {
        "no such file": (3, "there is no such file", "nothing.otio"),
        "another job's list": (3, "none of its shots is of a file in the log", os.path.join(GOLDEN, "strandtag.otio")),
        "another job's EDL": (3, "none of its shots is of a file in the log", os.path.join(GOLDEN, "strandtag.edl")),
        "no list": (3, "job.json", "job.json"),
        "an empty file": (3, "empty.edl", write(folder, "empty.edl", "")),
        "a list without events": (3, "no event was found", write(folder, "bare.edl", "TITLE: reel\r\nFCM: NON-DROP FRAME\r\n")),
        "another rate": (3, "runs at 50 frames a second, the job at 25", edited(folder, faster, "fast.otio")),
        "more events than frames": (3, "picture events, the cut", edited(folder, shredded, "shreds.otio")),
        "half a file": (3, "half.otio", half(folder)),
    }
    for case, (code, says, path) in cases.items():
        bench.refused(case, code, ["cut", "job.json", "--from", path], says, folder, advice=False)
    part = edited(folder, lambda edit: edit.root.update(name="REEL PART 1 OF 2"), "part.otio")
    bench.refused("a part of a split list", 3, ["cut", "job.json", "--from", part], "one part of a split EDL", folder)
    bench.refused("standard input", 2, ["cut", "job.json", "--from", "-"], "give the list's path", folder)
    good = edited(folder, lambda edit: None)
    bench.refused("with versions", 2, ["cut", "job.json", "--from", good, "--versions", "2"], "leave --versions out", folder)
    change_job(folder, lambda it: (it["delivery"].pop("length_s"), it["delivery"].update(lengths_s=[5, 6])))
    bench.refused("several lengths, none of that name", 3, ["cut", "job.json", "--from", good], "reel-5s, reel-6s", folder)


def faster(edit):
    def turn(value):
        if isinstance(value, dict):
            if value.get("OTIO_SCHEMA") == "RationalTime.1":
                value["rate"], value["value"] = value["rate"] * 2, value["value"] * 2
            for inner in value.values():
                turn(inner)
        elif isinstance(value, list):
            for inner in value:
                turn(inner)
    turn(edit.root)


def shredded(edit):
    clip = edit.picture[0]
    clip["source_range"]["duration"]["value"] = 1
    edit.picture[:] = [clip] * 400


def half(folder):
    with open(os.path.join(folder, "out", "reel.otio"), encoding="utf-8") as file:
        text = file.read()
    return write(folder, "half.otio", text[:len(text) // 2])


def one_of_several_lengths(bench):
    """With several lengths the list is of the cut that bears its name; the others are cut as ever."""
    that, folder = bench.checks.that, bench.copy()
    change_job(folder, lambda it: (it["delivery"].pop("length_s"), it["delivery"].update(lengths_s=[5, 6])))
    bench.tool.must("cut", "job.json", cwd=folder)
    edit = Edit(os.path.join(folder, "out", "reel-6s.otio"))
    last = len(edit.picture) - 1
    gone = edit.shot(edit.picture[last - 1])
    edit.lift(last - 1)
    edit.save(os.path.join(folder, "six.otio"))
    with open(os.path.join(folder, "out", "reel-5s.edl"), encoding="ascii") as file:
        five = file.read()
    done = bench.tool("cut", "job.json", "--from", "six.otio", cwd=folder)
    with open(os.path.join(folder, "out", "reel-6s.report.json"), encoding="utf-8") as file:
        six = json.load(file)
    that(done.returncode == 0 and gone not in [shot["id"] for shot in six["shots"]],
         f"a shot taken out of the cut of 6 s stays out: exit {done.returncode} {done.stderr}")
    with open(os.path.join(folder, "out", "reel-5s.edl"), encoding="ascii") as file:
        that(file.read() == five, "the cut of 5 s is what it was")


def job_stands_above(bench):
    """A lock in the job brings a shot back that the list lacks; the log's `never` keeps one out that it has."""
    that, folder = bench.checks.that, bench.copy()
    shots = report(folder)["shots"]
    actions = [shot for shot in shots[1:-1] if shot["anchors"] and "parts" not in shot]
    locked, never = actions[0], actions[1]

    def lift(edit):
        edit.lift(next(n for n, item in enumerate(edit.picture) if edit.shot(item) == locked["id"]))
    path = edited(folder, lift)
    change_job(folder, lambda it: it.update(locks=[locked["id"]]))
    change_row(folder, os.path.basename(never["file"]), use="never")
    done = bench.tool("cut", "job.json", "--from", path, cwd=folder)
    now = [shot["id"] for shot in report(folder)["shots"]]
    that(done.returncode == 0 and locked["id"] in now and never["id"] not in now,
         f"exit {done.returncode}: {locked['id']} is in {now}, {never['id']} is not\n{done.stderr}")


def must_stands_above(bench):
    """What the log says must be there is not banned because a list lacks it."""
    that, folder = bench.checks.that, bench.copy()
    edit = Edit(os.path.join(folder, "out", "reel.otio"))
    plain = next(n for n, item in enumerate(edit.picture) if "@" in edit.shot(item))
    take, file = edit.shot(edit.picture[plain]).split("@")[0], edit.picture[plain]["name"]
    edit.lift(plain)
    edit.save(os.path.join(folder, "lacks.otio"))
    change_row(folder, file, use="must")
    done = bench.tool("cut", "job.json", "--from", "lacks.otio", cwd=folder)
    that(done.returncode == 0 and take in [shot["take"] for shot in report(folder)["shots"]],
         f"exit {done.returncode}: {take} is in the cut\n{done.stderr}")
    that(f"{take} must be in the cut" in done.stderr, f"and that is told:\n{done.stderr}")


def chain(bench):
    """Taken out once, a shot stays out when a later cut of the same line comes back."""
    that, folder = bench.checks.that, bench.copy()
    first = Edit(os.path.join(folder, "out", "reel.otio"))
    ids = [first.shot(item) for item in first.picture]
    gone = next(name for name in ids[1:-1] if "#" in name and ids.count(name) == 1)
    first.lift(ids.index(gone))
    first.save(os.path.join(folder, "one.otio"))
    bench.tool.must("cut", "job.json", "--from", "one.otio", cwd=folder)
    shutil.copy(os.path.join(folder, "out", "reel.otio"), os.path.join(folder, "two.otio"))
    bench.tool.must("cut", "job.json", "--from", "two.otio", cwd=folder)
    made = report(folder)
    that(gone in made["from_list"]["removed"] and gone not in [shot["id"] for shot in made["shots"]],
         f"{gone} stays out of the cut after the next: {made['from_list']}")
    bench.tool.must("cut", "job.json", cwd=folder)
    that("from_list" not in report(folder), "without --from nothing of it is left in the report")


if __name__ == "__main__":
    run((refused, one_of_several_lengths, job_stands_above, must_stands_above, chain), "from-list")
