# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""The way of the sound in the written lists: heard contacts of a clip shot at 120 and conformed to 24 pictures a
second are put on beats with their distance said and not, and the pictures on the beats are told apart. Speed of
sound by ISO 9613-1:1993, c = 343.2 sqrt((t + 273.15) / 293.15) m/s; delays in frames follow by arithmetic."""
import json
import math
import os
import subprocess
import sys
from fractions import Fraction

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
import edl_reader  # noqa: E402
import otio_reader  # noqa: E402
import small_day  # noqa: E402
from run_tool import Checks, Tool, Workplace  # noqa: E402

RATE = Fraction(24)
TAKES, TAKE_S = 20, 4


def frames(metres, air_c=20.0, slowed=1.0):
    """What the sound is late by, in frames at 24."""
    return 24 * slowed * metres / (343.2 * math.sqrt((air_c + 273.15) / 293.15))


def prepare(tool, folder):
    """One film, a take each four seconds, a contact written by hand in each: all at different places of a frame, so
    that whole frames tell parts of a frame by their mean."""
    os.makedirs(os.path.join(folder, "footage"))
    subprocess.run(["ffmpeg", "-nostdin", "-v", "error", "-y", "-f", "lavfi", "-i",
                    f"testsrc2=s=64x36:r=24:d={TAKES * TAKE_S}", "-c:v", "libx264", "-preset", "ultrafast", "-threads",
                    "1", os.path.join(folder, "footage", "fast.mov")], check=True)
    small_day.click_track(os.path.join(folder, "song.wav"), 34.0)
    tool.must("new", "footage", "--music", "song.wav", cwd=folder)
    path = os.path.join(folder, "log.csv")
    header, rows = small_day.read_log(path)
    takes = []
    for index in range(TAKES):
        heard = TAKE_S * index + 2 + (index + 0.5) / TAKES / 24
        takes.append(dict(rows[0], id=f"T{index + 1:03}", camera="A", kind="action", skills="attack", use="must",
                          contacts=f"{heard:.9f}", **{"in": str(TAKE_S * index), "out": str(TAKE_S * (index + 1))}))
    small_day.write_log(path, header, takes)


def cut(tool, checks, folder, case, camera, row, air_c=20):
    """By take the frame of the film at its contact's mark, by the EDL and by the OTIO; and the report's instant."""
    def change(job):
        small_day.shorten(job, 30.0)
        job["delivery"]["rate"] = "24"
        # No cutaways here: the first shot has to wait for the second beat, and the takes to fill the length.
        job.setdefault("pacing", {}).update(lead_in_s=[0.083, 0.6], tail_max_s=2.5)
        job.setdefault("variety", {})["slow_motion_share_max"] = 1
        job["sound"]["air_temperature_c"] = air_c
        job["cameras"] = {"A": camera}

    path = os.path.join(folder, "log.csv")
    header, rows = small_day.read_log(path)
    small_day.edit_job(os.path.join(folder, "job.json"), change)
    small_day.write_log(path, header, [{**one, "distance_m": "", "capture_fps": "", **row} for one in rows])
    done = tool("cut", "job.json", cwd=folder)
    if not checks.that(done.returncode == 0, f"{case}: exit {done.returncode}: {done.stdout}{done.stderr}"):
        return {}, {}, {}
    out = os.path.join(folder, "out", "reel")
    edl, otio, report = {}, {}, {}
    for event in edl_reader.read(out + ".edl", RATE):
        for mark in event.marks if event.channel == "V" else []:
            at = event.source_in + mark - event.record_in
            edl[at // int(TAKE_S * RATE)] = at
    for item in otio_reader.read(out + ".otio").items:
        for mark in item.marks if item.kind == "Video" else []:
            at = int(item.source_in) + mark - item.record_in
            otio[at // int(TAKE_S * RATE)] = at
    with open(out + ".report.json", encoding="utf-8") as file:
        for shot in json.load(file)["shots"]:
            for anchor in shot["anchors"]:
                report[int(shot["take"][1:]) - 1] = anchor["picture_s"] * 24
    checks.that(len(edl) == TAKES, f"{case}: {len(edl)} of {TAKES} takes are in the list")
    checks.that(edl == otio, f"{case}: EDL and OTIO put other pictures on the beats: {edl}, {otio}")
    return edl, otio, report


def main():
    tool, checks = Tool(sys.argv[1]), Checks()
    with Workplace("sound-way") as folder:
        prepare(tool, folder)
        fast, at_once = {"capture_fps": "120"}, {"distance_m": "0"}
        cases = [
            ("15 m at 20 C, shot at 120", {}, {"distance_m": "15", **fast}, 20, 5.245),
            ("15 m at 40 C, shot at 120", {}, {"distance_m": "15", **fast}, 40, frames(15, 40, 5)),
            ("15 m said of the camera", {"distance_m": 15, "capture_fps": 120}, {}, 20, 5.245),
            ("15 m in real time", {}, {"distance_m": "15"}, 20, 1.049),
            ("a camera whose sound is 0.1 s late", {"sound_offset_s": 0.1}, {**at_once, **fast}, 20, 2.4),
            ("the row's distance before the camera's", {"distance_m": 15}, {**at_once, **fast}, 20, 0.0),
        ]
        heard = {fps: cut(tool, checks, folder, "heard", {}, {**at_once, **row})
                 for fps, row in (("120", fast), ("", {}))}
        for case, camera, row, air_c, wanted in cases:
            real_time = "capture_fps" not in {**camera, **row}
            before = heard["" if real_time else "120"]
            after = cut(tool, checks, folder, case, camera, row, air_c)
            for name, was, is_now in zip(("EDL", "OTIO"), before, after):
                moved = [was[take] - is_now[take] for take in was if take in is_now]
                if not checks.that(len(moved) == TAKES, f"{case}, {name}: takes are missing"):
                    continue
                mean = sum(moved) / TAKES
                print(f"-- {case}, {name}: {min(moved)} to {max(moved)} frames, mean {mean:.3f}, expected {wanted:.3f}")
                checks.that(all(math.floor(wanted) <= one <= math.ceil(wanted) for one in moved),
                            f"{case}, {name}: moved by {moved} frames, expected {wanted:.3f} rounded either way")
                checks.that(abs(mean - wanted) <= 1 / TAKES,
                            f"{case}, {name}: moved by {mean:.3f} in the mean, expected {wanted:.3f}")
            told = [before[2][take] - after[2][take] for take in before[2] if take in after[2]]
            checks.that(len(told) == TAKES and all(abs(one - wanted) < 0.001 for one in told),
                        f"{case}: by the report moved by {told}, expected {wanted:.3f}")
    checks.finish()


if __name__ == "__main__":
    main()
