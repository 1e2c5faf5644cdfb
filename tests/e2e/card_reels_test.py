# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Reels by the reel names that cameras write, which the ffmpeg program writes here and ffprobe reads back."""
import json
import os
import subprocess
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
import edl_reader  # noqa: E402
import otio_reader  # noqa: E402
import small_day  # noqa: E402
from spoilt_jobs import change_job, run  # noqa: E402

CARD = "B012R7XY"


def written_reel(path):
    """The reel name as ffprobe tells it, on whatever track."""
    told = subprocess.run(["ffprobe", "-v", "error", "-show_entries", "stream_tags=reel_name", "-of", "json", path],
                          capture_output=True, check=True).stdout
    reels = {stream["tags"]["reel_name"] for stream in json.loads(told)["streams"] if "reel_name" in stream.get("tags", {})}
    return reels.pop() if len(reels) == 1 else None


def to_card(bench, folder, names):
    """Clips as a camera with reels writes them."""
    header, rows = small_day.read_log(os.path.join(folder, "log.csv"))
    for row in rows:
        name = os.path.basename(row["file"])
        if name not in names:
            continue
        old = os.path.join(folder, row["file"])
        row["file"] = row["file"].replace(".mp4", ".mov")
        row["bytes"] = row["duration_s"] = ""
        new = os.path.join(folder, row["file"])
        subprocess.run(["ffmpeg", "-nostdin", "-v", "error", "-i", old, "-c", "copy", "-timecode", "01:00:00:00",
                        "-metadata:s:v:0", f"reel_name={CARD}", new], check=True)
        os.remove(old)
        bench.checks.that(written_reel(new) == CARD, f"{name}: ffprobe reads the reel that ffmpeg wrote")
    small_day.write_log(os.path.join(folder, "log.csv"), header, rows)


def reels(bench, folder):
    """By file, as both lists and the report have them; they must agree."""
    bench.tool.must("cut", "job.json", "--force", cwd=folder)
    out = os.path.join(folder, "out", "reel.")
    broken = edl_reader.breaches(out + "edl", "25") + otio_reader.breaches(out + "otio")
    bench.checks.that(not broken, f"both lists keep the rules: {broken}")
    shown = bench.tool("show", "out/reel.edl", "--against", "out/reel.otio", cwd=folder)
    bench.checks.that(shown.returncode == 0, f"both lists have one cut and the same reels: {shown.stdout[-300:]}")
    with open(out + "report.json", encoding="utf-8") as file:
        found = {shot["file"]: shot["reel"] for shot in json.load(file)["shots"]}
    text = open(out + "edl", encoding="ascii").read()
    bench.checks.that(all(f" {reel:8} " in text for reel in found.values()), "the EDL has the report's reels")
    return found


def from_card(bench):
    that, folder = bench.checks.that, bench.copy()
    to_card(bench, folder, ("K_01.mp4", "K_02.mp4", "K_03.mp4"))
    header, rows = small_day.read_log(os.path.join(folder, "log.csv"))
    small_day.write_log(os.path.join(folder, "log.csv"), header, [{**row, "use": "must"} for row in rows])
    by_name = reels(bench, folder)
    that(by_name["K_01.mov"] == "K01" and by_name["K_05.mp4"] == "K05", f"as it comes, reels are by name: {by_name}")
    change_job(folder, lambda it: it.setdefault("lists", {}).update(reels="from_card"))
    by_card = reels(bench, folder)
    print(by_card)
    that([by_card[f"K_0{n}.mov"] for n in (1, 2, 3)] == [CARD, "B012C002", "B012C003"],
         f"one card, one reel a file: {by_card}")
    that(by_card["K_05.mp4"] == "K05", "a file without a reel of the card has one by its name")

    back = bench.tool("cut", "job.json", "--from", "out/reel.edl", cwd=folder)
    that(back.returncode == 0, f"the list comes back by its reels: exit {back.returncode} {back.stderr[-400:]}")

    rows[1]["reel"] = "mine"
    small_day.write_log(os.path.join(folder, "log.csv"), header, [{**row, "use": "must"} for row in rows])
    that(reels(bench, folder)["K_02.mov"] == "MINE", "the log's reel comes first")
    bench.tool.must("log", "job.json", cwd=folder)
    that([row["reel"] for row in small_day.read_log(os.path.join(folder, "log.csv"))[1]] ==
         [row["reel"] for row in rows], "log leaves the reel cells to the user")
    change_job(folder, lambda it: it["lists"].update(reels="from_cart"))
    bench.refused("unknown word for reels", 3, ["cut", "job.json"], [r"/lists/reels", "from_card"], folder)


if __name__ == "__main__":
    run((from_card,), "card-reels")
