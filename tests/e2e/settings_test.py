# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Settings of job.json that only the whole program can be asked about, each seen in what it writes."""
import json
import os
import re
import shutil
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
import small_day  # noqa: E402
from spoilt_jobs import change_job, change_row, run  # noqa: E402


def outputs(folder):
    """The EDL as text, the OTIO as a value."""
    with open(os.path.join(folder, "out", "reel.edl"), encoding="ascii") as file:
        edl = file.read()
    with open(os.path.join(folder, "out", "reel.otio"), encoding="utf-8") as file:
        return edl, json.load(file)


def links(value):
    """Every target_url of an OTIO."""
    if isinstance(value, list):
        return [url for item in value for url in links(item)]
    if isinstance(value, dict):
        own = [value["target_url"]] if "target_url" in value else []
        return own + [url for item in value.values() for url in links(item)]
    return []


def ntsc(bench):
    """25 pictures a second, in real time, in a list of 24000/1001: no speed change, and a whole song for 6 s."""
    that, folder = bench.checks.that, bench.copy()
    change_job(folder, lambda it: it["delivery"].update(rate=23.98))
    done = bench.tool("cut", "job.json", cwd=folder)
    that(done.returncode == 0, f"rate 23.98: exit {done.returncode}: {done.stderr}")
    that("were asked for" not in done.stderr, f"rate 23.98: the song is long enough, yet: {done.stderr}")
    that("M2 " not in outputs(folder)[0], "rate 23.98: shots in real time have no M2 line")
    change_job(folder, lambda it: (it["delivery"].update(length_s=17), it["song"].update(jump=False)))
    done = bench.tool("cut", "job.json", cwd=folder)
    that("17.00 s were asked for" in done.stderr, "longer than the song: said so")
    change_job(folder, lambda it: it["song"].update(jump=None))
    done = bench.tool("cut", "job.json", cwd=folder)
    that("were asked for" not in done.stderr and "jumps once" in done.stderr,
         f"longer than the song, which may jump back: {done.stderr}")


def roots(bench):
    that, folder = bench.checks.that, bench.copy()
    root = {"from": "footage", "to": "/Volumes/Beach"}
    change_job(folder, lambda it: it.update(lists={"media_root": root}))
    done = bench.tool("cut", "job.json", cwd=folder)
    clips = [url for url in links(outputs(folder)[1]) if url.endswith(".mp4")]
    that(clips and all(re.fullmatch(r"file:///Volumes/Beach/K_\d\d\.mp4", url) for url in clips),
         f"media_root counts from the job's folder: {clips[:2]}")
    that("media_root" not in done.stderr, "media_root that moves clips: no warning")
    root["from"] = "elsewhere"
    change_job(folder, lambda it: it.update(lists={"media_root": root}))
    done = bench.tool("cut", "job.json", cwd=folder)
    that(re.search(r"media_root.*elsewhere", done.stderr), f"media_root that moves nothing: said so: {done.stderr}")


def single_files(bench):
    that, folder = bench.checks.that, bench.copy()
    os.mkdir(os.path.join(folder, "late"))
    small_day.another_take(os.path.join(folder, "footage", "K_01.mp4"), os.path.join(folder, "late", "K_09.mp4"))
    change_job(folder, lambda it: it.update(footage=["footage", "late/K_09.mp4"]))
    done = bench.tool("log", "job.json", cwd=folder)
    files = [row["file"] for row in small_day.read_log(os.path.join(folder, "log.csv"))[1]]
    that(done.returncode == 0 and files[-1:] == ["late/K_09.mp4"] and len(files) == 9,
         f"a single file as footage: {done.stderr} {files}")


def floors(bench):
    """A floor below the log's own listens again where a cell is empty, and says so where none is."""
    that, folder = bench.checks.that, bench.copy()
    change_job(folder, lambda it: it.update(variety={"confidence_floor": 0.0}))
    done = bench.tool("cut", "job.json", cwd=folder)
    that(re.search(r"confidence_floor is 0\b.* 6 action rows", done.stderr), f"a floor under the log's: {done.stderr}")
    change_row(folder, "K_01.mp4", contacts="")
    bench.tool("log", "job.json", cwd=folder)
    cell = next(row["contacts"] for row in small_day.read_log(os.path.join(folder, "log.csv"))[1]
                if row["file"].endswith("K_01.mp4"))
    that(any(float(word.split(":")[1]) < 0.5 for word in cell.split()), f"log listens from the job's floor: {cell}")
    done = bench.tool("cut", "job.json", cwd=folder)
    that(" 5 action rows" in done.stderr, f"a floor under the log's, one row heard anew: {done.stderr}")


def names(bench):
    """A clip whose name no log could hold is left out and named; the log stays one that can be read."""
    that, folder = bench.checks.that, bench.copy()
    clip = os.path.join(folder, "footage", "K_01.mp4")
    small_day.another_take(clip, os.fsencode(folder) + b"/footage/K_\xe4.mp4")
    done = bench.tool("log", "job.json", cwd=folder)
    that(done.returncode == 0 and "UTF-8; rename" in done.stderr, f"a name in Latin-1: {done.stderr}")
    that(len(small_day.read_log(os.path.join(folder, "log.csv"))[1]) == 8, "a name in Latin-1: no row")
    header, rows = small_day.read_log(os.path.join(folder, "log.csv"))
    first = next(row for row in rows if row["file"].endswith("K_01.mp4"))
    for number in range(3):
        shutil.copy(clip, os.path.join(folder, "footage", f"K_1{number}.mp4"))
        rows.append({**first, "id": f"C{number}", "reel": "", "file": f"footage/K_1{number}.mp4"})
    done = bench.tool("log", "job.json", cwd=folder)
    that(done.returncode == 0 and "3 files are copies" in done.stderr, f"copies are told and left out: {done.stderr}")
    small_day.write_log(os.path.join(folder, "log.csv"), header, rows)
    that(bench.tool("log", "job.json", cwd=folder).returncode == 0, "copies that rows name stay")
    said = bench.tool("cut", "job.json", cwd=folder).stderr
    copies = ", ".join(f"footage/K_1{number}.mp4" for number in range(3))
    that(f"{copies}: holds the same bytes as footage/K_01.mp4" in said, f"three copies of a clip, one note: {said}")


def in_the_way(bench):
    folder = bench.copy()
    change_job(folder, lambda it: it.update(out="song.wav"))
    bench.refused("a file where the output folder should be", 5, ["cut", "job.json"], r"song\.wav.*a file stands", folder)


if __name__ == "__main__":
    run((ntsc, roots, single_files, floors, names, in_the_way), "settings")
