# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""`cut --sheet`: one more output, a PNG with a tile a shot, guarded and written together with the others."""
import json
import os
import re
import shutil
import struct
import subprocess
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
from run_tool import hashes  # noqa: E402
from small_day import PLAYERS  # noqa: E402
from spoilt_jobs import change_job, run  # noqa: E402

CUT = ["cut", "job.json", "--sheet"]


def output(folder, name):
    return os.path.join(folder, "out", name)


def report(folder, name="reel"):
    with open(output(folder, name + ".report.json"), encoding="utf-8") as file:
        return json.load(file)


def is_sheet(bench, folder, name="reel"):
    """A PNG (its signature and header: PNG, 5.2 and 11.2.2) that another program reads, listed in the report."""
    path = output(folder, name + ".sheet.png")
    with open(path, "rb") as file:
        head = file.read(24)
    width, height = struct.unpack(">II", head[16:])
    bench.checks.that(head[:8] == b"\x89PNG\r\n\x1a\n" and width == 1080, f"{name}.sheet.png is a PNG for a telephone: {head}")
    rows = -(-len(report(folder, name)["shots"]) // 3)
    bench.checks.that(rows * 250 < height < rows * 400 + 300, f"{name}.sheet.png: {height} pixels for {rows} rows")
    done = subprocess.run(["ffprobe", "-v", "error", "-show_entries", "stream=codec_name,width,height", "-of", "csv=p=0", path],
                          capture_output=True, text=True, check=True)
    bench.checks.that(done.stdout.strip() == f"png,{width},{height}", f"others read {name}.sheet.png: {done.stdout}")
    bench.checks.that(name + ".sheet.png" in {one["file"] for one in report(folder, name)["outputs"]},
                      f"{name}'s report lists the sheet")


def one_more_output(bench):
    that, folder = bench.checks.that, bench.copy()
    bench.tool.must("cut", "job.json", cwd=folder)  # again: now there is a last cut to stay near to, as the page tells
    before = hashes(folder)
    done = bench.tool.must(*CUT, cwd=folder)
    that([os.path.basename(line) for line in done.stdout.split()] ==
         ["reel.edl", "reel.otio", "reel.song.wav", "reel.html", "reel.sheet.png", "reel.report.json"], f"listed in order: {done.stdout}")
    is_sheet(bench, folder)
    after = hashes(folder)
    that(all(after[name] == content for name, content in before.items() if "report" not in name),
         "the other outputs are what they were")
    that(set(after) - set(before) == {"out/reel.sheet.png"}, f"one file more: {set(after) - set(before)}")
    bench.tool.must(*CUT, cwd=folder)
    that(hashes(folder)["out/reel.sheet.png"] == after["out/reel.sheet.png"], "the same cut makes the same sheet")
    told = bench.tool.must("cut", "job.json", cwd=folder)
    that(re.search(r"note: reel\.sheet\.png is of an earlier run; --sheet", told.stderr), f"an old sheet is told: {told.stderr}")
    that(hashes(folder)["out/reel.sheet.png"] == after["out/reel.sheet.png"], "without the option the sheet stays")
    done = bench.tool.must(*CUT, "--preview", cwd=folder)
    that([os.path.basename(line) for line in done.stdout.split()][-3:] ==
         ["reel.sheet.png", "reel.mp4", "reel.report.json"], f"with the preview: {done.stdout}")


def hard_names(bench):
    """A reel and players called what people are not."""
    folder = bench.copy()
    bench.tool.must(*CUT, cwd=folder)
    before = hashes(folder)["out/reel.sheet.png"]
    names = ["<script>alert('x')</script>", "W" * 300, "\u05de\u05e9\u05d7\u05e7", "\u00dcnl\u00fc \"O'Hara\" & S\u00f8n"]
    change_job(folder, lambda it: it.update(roster={"players": {
        one: {"team": "Terns", "name": names[i % len(names)]} for i, one in enumerate(PLAYERS)}}))
    bench.tool.must(*CUT, cwd=folder)
    is_sheet(bench, folder)
    bench.checks.that(hashes(folder)["out/reel.sheet.png"] != before, "the sheet has the names")


def of_each_cut(bench):
    folder = bench.copy()
    shutil.rmtree(os.path.join(folder, "out"))
    change_job(folder, lambda it: (it["delivery"].pop("length_s"), it["delivery"].update(lengths_s=[3, 6])))
    bench.tool.must(*CUT, cwd=folder)
    for name in ("reel-3s", "reel-6s"):
        is_sheet(bench, folder, name)
    bench.checks.that(not [name for name in os.listdir(output(folder, "")) if name.startswith(".")], "nothing else is left")


def guarded(bench):
    folder = bench.copy()
    with open(output(folder, "reel.sheet.png"), "wb") as file:
        file.write(b"somebody else's")
    bench.refused("a sheet of somebody else", 5, CUT, [r"reel\.sheet\.png", "--force"], folder)
    bench.tool.must(*CUT, "--force", cwd=folder)
    is_sheet(bench, folder)
    with open(output(folder, "reel.sheet.png"), "ab") as file:
        file.write(b"changed")
    bench.refused("a sheet changed by hand", 5, CUT, [r"reel\.sheet\.png", "--force"], folder)


def together_or_not_at_all(bench):
    folder = bench.copy()
    limit = ("sh", "-c", "trap '' XFSZ; ulimit -f 20; exec \"$0\" \"$@\"")
    bench.refused("no room", 5, CUT, r"out/reel\.", folder, prefix=limit)


if __name__ == "__main__":
    run((one_more_output, hard_names, of_each_cut, guarded, together_or_not_at_all), "sheet")
