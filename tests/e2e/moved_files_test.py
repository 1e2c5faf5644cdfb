# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""The built program where files have moved since they were logged: found again by name, size and length, and told."""
import json
import os
import re
import shutil
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
import edl_reader  # noqa: E402
import otio_reader  # noqa: E402
import small_day  # noqa: E402
from run_tool import hashes  # noqa: E402
from spoilt_jobs import run  # noqa: E402

MOVED = "* MOVED SINCE IT WAS LOGGED"


def read(folder, name, mode="r"):
    with open(os.path.join(folder, name), mode) as file:
        return file.read()


def rows_of(folder):
    return small_day.read_log(os.path.join(folder, "log.csv"))[1]


def change_rows(folder, change):
    path = os.path.join(folder, "log.csv")
    header, rows = small_day.read_log(path)
    for row in rows:
        change(row)
    small_day.write_log(path, header, rows)


def move(folder, name, to):
    os.makedirs(os.path.join(folder, to), exist_ok=True)
    shutil.move(os.path.join(folder, "footage", name), os.path.join(folder, to, name))


def otio_references(value):
    """Every media reference of an OTIO, wherever it stands."""
    if isinstance(value, dict):
        if value.get("OTIO_SCHEMA", "").startswith("ExternalReference"):
            yield value
        for member in value.values():
            yield from otio_references(member)
    elif isinstance(value, list):
        for member in value:
            yield from otio_references(member)


def comments_by_file(text):
    """For each event of an EDL: the file of its comment, and all of its comments."""
    events = []
    for line in text.splitlines():
        if re.match(r"\d{3} ", line):
            events.append([])
        elif line.startswith("*") and events:
            events[-1].append(line)
    for comments in events:
        named = [line.split(": ", 1)[1] for line in comments if line.startswith("* FROM CLIP NAME: ")]
        if named:
            yield named[0], comments


def sizes(bench):
    that = bench.checks.that
    for row in rows_of(bench.good):
        path = os.path.join(bench.good, row["file"])
        that(row["bytes"] == str(os.path.getsize(path)), f"{row['file']}: bytes {row['bytes']}")
        that(re.fullmatch(r"\d+\.\d{3}", row["duration_s"]) and abs(float(row["duration_s"]) - 3) < 0.05,
             f"{row['file']}: duration_s {row['duration_s']}, made 3 s long")
    folder = bench.copy()
    header, rows = small_day.read_log(os.path.join(folder, "log.csv"))
    old = [name for name in header if name not in ("bytes", "duration_s", "began", "file_fps", "has_sound")]
    small_day.write_log(os.path.join(folder, "log.csv"), old, rows)
    bench.tool.must("log", "job.json", cwd=folder)
    that(small_day.read_log(os.path.join(folder, "log.csv")) == (header, rows), "an old log gains the columns that are new alone")
    before = hashes(folder)
    bench.tool.must("log", "job.json", cwd=folder)
    that(hashes(folder) == before, "a second log changes nothing")


def cut(bench):
    that, folder = bench.checks.that, bench.copy()
    log = read(folder, "log.csv", "rb")
    before = read(folder, "out/reel.edl")
    for name in ("K_01.mp4", "K_02.mp4", "K_03.mp4"):
        move(folder, name, "new place/deep")
    done = bench.tool("cut", "job.json", cwd=folder)
    print(done.stderr)
    that(done.returncode == 0, f"cut, three files moved: exit {done.returncode}")
    that("3 files have moved since the log was made: K_01.mp4 (footage -> new place/deep)" in done.stderr,
         "cut tells what has moved")
    report = json.loads(read(folder, "out/reel.report.json"))
    that(any("3 files have moved" in line for line in report["warnings"]), "the report has it as a warning")
    that(read(folder, "log.csv", "rb") == log, "cut leaves the log alone")

    text = read(folder, "out/reel.edl")
    used = set()
    for file, comments in comments_by_file(text):
        moved = file in ("K_01.mp4", "K_02.mp4", "K_03.mp4")
        used.add(file) if moved else None
        that((MOVED in comments) == moved, f"EDL, {file}: {'says' if moved else 'does not say'} that it has moved")
    that(used, "the cut shows a file that has moved")
    that("new place" not in text and "footage" not in text, "no path in the EDL")
    that(text.replace(MOVED + "\n", "") == before, "but for the comment the EDL is the one before")
    out = os.path.join(folder, "out", "reel.")
    broken = edl_reader.breaches(out + "edl", "25") + otio_reader.breaches(out + "otio")
    that(not broken, f"both lists keep the rules: {broken}")
    for reference in otio_references(json.loads(read(folder, "out/reel.otio"))):
        name, own = reference["name"], reference["metadata"]["downball"]
        moved = name in used
        that(own.get("logged_as") == (f"footage/{name}" if moved else None), f"OTIO, {name}: logged_as {own}")
        if moved:
            that(reference["target_url"] == f"../new%20place/deep/{name}", f"OTIO, {name}: links to the new place")
    shown = bench.tool("show", "out/reel.edl", "--against", "out/reel.otio", cwd=folder)
    that(shown.returncode == 0, "both lists are one cut and keep the rules")


def lost(bench):
    folder = bench.copy()
    move(folder, "K_04.mp4", "x")
    with open(os.path.join(folder, "x", "K_04.mp4"), "ab") as file:
        file.write(b"more")
    size = os.path.getsize(os.path.join(folder, "x", "K_04.mp4"))
    bench.refused("moved and changed", 3, ["cut", "job.json"],
                  [r"log\.csv", r"line 5, .*K_04\.mp4: no such file",
                   rf"K_04\.mp4 lies in x, but has {size} bytes, not {size - 4}", r"looked for .* below /"], folder)

    folder = bench.copy()
    change_rows(folder, lambda row: row.update(bytes="", duration_s=""))
    move(folder, "K_05.mp4", "x")
    os.makedirs(os.path.join(folder, "y"))
    shutil.copy(os.path.join(folder, "footage", "K_06.mp4"), os.path.join(folder, "y", "K_05.mp4"))
    says = [r"log\.csv", r"line 6, ", r"x/K_05\.mp4, y/K_05\.mp4", r"say in column file which it is"]
    bench.refused("two that may be it, cut", 3, ["cut", "job.json"], says, folder)
    bench.refused("two that may be it, log", 3, ["log", "job.json"], says, folder)

    # Never used, so nobody needs to know which it is.
    change_rows(folder, lambda row: row.update(use="never") if "K_05" in row["file"] else None)
    done = bench.tool("log", "job.json", cwd=folder)
    bench.checks.that(done.returncode == 0 and "gone: footage/K_05.mp4" in done.stderr, "log, never used: goes on")

    folder = bench.copy()
    change_rows(folder, lambda row: row.update(bytes="12 kB") if "K_05" in row["file"] else None)
    bench.refused("bytes that are no number", 3, ["cut", "job.json"], r"line 6, column bytes: found \"12 kB\"", folder)


def log(bench):
    that, folder = bench.checks.that, bench.copy()
    before = rows_of(folder)
    move(folder, "K_01.mp4", "footage/day 1")  # within the footage
    move(folder, "K_02.mp4", "aside")  # out of it, but beside the log
    os.remove(os.path.join(folder, "footage", "K_08.mp4"))
    done = bench.tool("log", "job.json", cwd=folder)
    print(done.stderr)
    that(done.returncode == 0, f"log, files moved: exit {done.returncode}")
    places = {"footage/K_01.mp4": "footage/day 1/K_01.mp4", "footage/K_02.mp4": "aside/K_02.mp4"}
    expected = [{**row, "file": places.get(row["file"], row["file"])} for row in before]
    that(rows_of(folder) == expected, "the rows have the new places, and all else as before")
    that("2 files have moved; the log says now where to: K_01.mp4 (footage -> footage/day 1), "
         "K_02.mp4 (footage -> aside)" in done.stderr, "log tells what has moved")
    that("0 rows added" in done.stderr and re.findall("gone: .*", done.stderr) ==
         ["gone: footage/K_08.mp4 (its rows are kept)"], "nothing is entered twice, and only what is gone is gone")
    that("listened to 0 of them" in done.stderr, "nothing is listened to again")
    again = hashes(folder)
    bench.tool.must("log", "job.json", cwd=folder)
    that(hashes(folder) == again, "log again changes nothing")


def two_of_a_name(bench):
    """Two files of one name are two reels, and stay the same two when one of them moves."""
    that, folder = bench.checks.that, bench.copy()
    os.makedirs(os.path.join(folder, "footage", "b"))
    shutil.move(os.path.join(folder, "footage", "K_02.mp4"), os.path.join(folder, "footage", "b", "K_01.mp4"))
    change_rows(folder, lambda row: row.update(file="footage/b/K_01.mp4") if "K_02" in row["file"] else None)
    change_rows(folder, lambda row: row.update(use="must") if "K_01" in row["file"] else None)
    ids = [row["id"] for row in rows_of(folder) if "K_01" in row["file"]]

    def reels():
        bench.tool.must("cut", "job.json", "--force", cwd=folder)
        shots = json.loads(read(folder, "out/reel.report.json"))["shots"]
        found = {shot["id"].split("#")[0]: (shot["reel"], os.path.relpath(shot["path"], folder)) for shot in shots}
        return [found[one] for one in ids]

    before = reels()
    that(before[0][0] != before[1][0], f"two reels: {before}")
    move(folder, "K_01.mp4", "footage/z")
    after = reels()
    that([reel for reel, _ in after] == [reel for reel, _ in before], f"the reels stay: {after}")
    that([path for _, path in after] == ["footage/z/K_01.mp4", "footage/b/K_01.mp4"], f"each its own file: {after}")
    # A third of the name, logged later, renames neither.
    os.makedirs(os.path.join(folder, "footage", "a"))
    shutil.copy(os.path.join(folder, "footage", "K_03.mp4"), os.path.join(folder, "footage", "a", "K_01.mp4"))
    bench.tool.must("log", "job.json", cwd=folder)
    that(reels() == after, "a file added later renames none")


if __name__ == "__main__":
    run((sizes, cut, lost, log, two_of_a_name), "moved-files")
