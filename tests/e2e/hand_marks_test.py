# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""What a person writes into `contacts` and `marks` is what the cut is made from, and `downball log` never loses or
changes it, however often it runs and whatever became of the clips."""
import json
import os
import shutil
import sys
from fractions import Fraction

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "..", "support"))
import edl_reader  # noqa: E402
import small_day  # noqa: E402
import sound_bank  # noqa: E402
from spoilt_jobs import change_row, run  # noqa: E402

RATE = Fraction(25)


def log_of(folder):
    return small_day.read_log(os.path.join(folder, "log.csv"))


def row_of(folder, name):
    return next(row for row in log_of(folder)[1] if row["file"].endswith(name))


def content(folder):
    with open(os.path.join(folder, "log.csv"), "rb") as file:
        return file.read()


def cut(bench, folder, case):
    """Anchors of the cut by take, from the report."""
    done = bench.tool("cut", "job.json", cwd=folder)
    if not bench.checks.that(done.returncode == 0, f"{case}: exit {done.returncode}: {done.stdout}{done.stderr}"):
        return {}
    with open(os.path.join(folder, "out", "reel.report.json"), encoding="utf-8") as file:
        shots = json.load(file)["shots"]
    anchors = {}
    for shot in shots:
        anchors.setdefault(shot["take"], []).extend(shot["anchors"])
    return anchors


def shown_s(folder, file):
    """Instants of the clip that stand at the marks of its events, by the EDL alone: the middle of their frames."""
    return [float((event.source_in + mark - event.record_in + Fraction(1, 2)) / RATE)
            for event in edl_reader.read(os.path.join(folder, "out", "reel.edl"), RATE)
            if event.channel == "V" and event.clip == file for mark in event.marks]


def in_the_cut(bench):
    """A mark near a heard contact takes its place, one elsewhere is a contact of its own; also without any sound."""
    that, folder = bench.checks.that, bench.copy()
    for metres in ("", "12"):  # the way of the sound moves what was heard, never what was seen
        change_row(folder, "K_01.mp4", contacts="0.900:0.99", marks="0.92", use="must", distance_m=metres)
        change_row(folder, "K_02.mp4", contacts="0.900:0.99", marks="1.5", use="must", distance_m=metres,
                   **{"in": "1.2"})
        change_row(folder, "K_03.mp4", contacts="-", marks="33f", use="must", distance_m=metres)
        clip = os.path.join(folder, "footage", "K_04.mp4")
        sound_bank.write_clip(clip, [0.0] * (3 * sound_bank.RATE), 25, size="64x36", audio=False)
        change_row(folder, "K_04.mp4", contacts="", marks="1.12", use="must", distance_m=metres)
        before = content(folder)
        bench.tool.must("log", "job.json", cwd=folder)
        that(content(folder) == before, "log leaves marks, and the empty cell of a clip without sound, as they are")
        anchors = cut(bench, folder, "marks")
        for take, file, contact, picture_s in (("T001", "K_01.mp4", "T001#900", 0.92),
                                               ("T002", "K_02.mp4", "T002#1500", 1.5),
                                               ("T003", "K_03.mp4", "T003#1320", 1.32),
                                               ("T004", "K_04.mp4", "T004#1120", 1.12)):
            found = anchors.get(take, [])
            that(found and all(one["contact"] == contact and one["source"] == "mark" and
                               abs(one["picture_s"] - picture_s) < 1e-9 for one in found),
                 f"{take}, {metres or 'no'} metres: anchored on {found}, expected {contact} at {picture_s}")
            shown = shown_s(folder, file)
            that(shown and all(abs(at - picture_s) < 0.05 for at in shown),
                 f"{file}: the list shows {shown} on the beat, expected {picture_s}")


def deleted(bench):
    """A contact taken out of the cell is out, now and after the next `log`; an empty cell asks for a new hearing."""
    that, folder = bench.checks.that, bench.copy()
    names = [f"K_{number:02}.mp4" for number in range(1, 7)]
    for name in names:
        heard = row_of(folder, name)["contacts"].split()
        second = [word for word in heard if abs(float(word.split(":")[0]) - small_day.THUMPS_S[1]) < 0.01]
        that(len(second) == 1 and len(heard) > 1, f"{name}: {heard} heard, two thumps laid")
        change_row(folder, name, contacts=" ".join(second), skills="attack")
    change_row(folder, names[0], contacts="-", use="must", kind="cutaway")
    for _ in range(2):
        before = content(folder)
        bench.tool.must("log", "job.json", cwd=folder)
        that(content(folder) == before, "log leaves a cell that contacts were deleted from as it is")
        anchors = cut(bench, folder, "deleted")
        used = [one["contact"] for found in anchors.values() for one in found]
        that(len(used) >= 3 and all(one.split("#")[1].startswith(("189", "190")) for one in used),
             f"deleted: anchored on {used}, expected the second thumps alone")
        that("T001" in anchors and not anchors["T001"], "deleted: a clip whose only contacts were struck has none")
    change_row(folder, names[1], contacts=" ")
    bench.tool.must("log", "job.json", cwd=folder)
    that(len(row_of(folder, names[1])["contacts"].split()) > 1, "an empty cell is filled by a new hearing")
    that(row_of(folder, names[0])["contacts"] == "-", "a dash is not")


def kept(bench):
    """Law: whatever was edited, `log` changes no filled cell, adds no row, and run again changes no byte."""
    that, folder = bench.checks.that, bench.copy()
    footage = os.path.join(folder, "footage")
    header, rows = log_of(folder)
    rows = {row["file"][-8:]: row for row in rows}
    rows["K_01.mp4"].update(file="./footage/K_01.mp4", contacts="1.903:0.99 0.897:0.99 2.2", marks="0.93")
    rows["K_02.mp4"].update(file=os.path.join(footage, "K_02.mp4"), contacts="1.9 0.9 1.9", marks="2.5 0.5")
    rows["K_03.mp4"].update(file="../" + os.path.basename(folder) + "/footage//K_03.mp4", contacts="0.912:0.97")
    rows["K_04.mp4"].update(contacts="0.5", marks="12f 00:00:02:00")  # its media is gone for now
    rows["K_05.mp4"].update(contacts="", marks="0.77")  # nothing is heard this time
    rows["K_06.mp4"].update(contacts="1.1 2.1", marks="2.12")  # nor here
    rows["K_07.mp4"].update(contacts="", file=os.path.join(folder, "linked", "K_07.mp4"))
    os.symlink("footage", os.path.join(folder, "linked"))
    twin = dict(rows["K_02.mp4"], id="mine", contacts="", file="footage/./K_02.mp4", **{"in": "1.5"})
    mine = [*rows.values(), twin]
    mine.reverse()
    for number, row in enumerate(mine):
        row["weather"] = f"sun, {number} clouds"
    small_day.write_log(os.path.join(folder, "log.csv"), ["weather", *header], mine)
    away = os.path.join(folder, "K_04.away")
    shutil.move(os.path.join(footage, "K_04.mp4"), away)
    for name in ("K_05.mp4", "K_06.mp4"):
        sound_bank.write_clip(os.path.join(footage, name), [0.0] * (3 * sound_bank.RATE), 25, size="64x36")

    def relog(case, cwd, job):
        done = bench.tool.must("log", job, cwd=cwd)
        now = log_of(folder)
        that(" 0 rows added" in done.stderr, f"{case}: {done.stderr}")
        that(now[0] == ["weather", *header] and len(now[1]) == len(mine), f"{case}: rows and columns stay")
        for was, is_now in zip(mine, now[1]):
            lost = {column: (was[column], is_now[column]) for column in was
                    if was[column].strip() and was[column] != is_now[column]}
            that(not lost, f"{case}, {was['file']}: changed {lost}")
        return done, now[1]

    done, now = relog("log again", folder, "job.json")
    that("gone: footage/K_04.mp4" in done.stderr and done.stderr.count("gone:") == 1,
         f"log again: only K_04 is gone: {done.stderr}")
    now = {row["id"]: row for row in now}
    that(now["T005"]["contacts"] == "-" and now["T005"]["marks"] == "0.77",
         "where nothing is heard the cell says so, and the mark stays")
    that(len(now["mine"]["contacts"].split()) > 1, "a second row of a file, spelt otherwise, is filled")
    that(now["T007"]["contacts"] == "-", "a row whose file is named through a link is filled")
    first = content(folder)
    for case, cwd, job in (("from its own folder", folder, "."), ("from above", bench.place, folder),
                           ("relative from above", bench.place, os.path.basename(folder) + "/job.json")):
        relog(case, cwd, job)
        that(content(folder) == first, f"log {case}: not a byte is changed")
    shutil.move(away, os.path.join(footage, "K_04.mp4"))
    done, _ = relog("media back", folder, "job.json")
    that("gone:" not in done.stderr and content(folder) == first, "media back: not a byte is changed")


def spellings(bench):
    """Two rows of one file, however spelt, are one file in the lists: one reel, no picture shown twice."""
    that, folder = bench.checks.that, bench.copy()
    header, rows = log_of(folder)
    name = os.path.join(folder, "footage", "K_01.mp4")
    rows[0].update(use="must", out="1.45")
    rows.insert(1, dict(rows[0], id="mine", file=name, out="", **{"in": "1.45"}))
    small_day.write_log(os.path.join(folder, "log.csv"), header, rows)
    done = bench.tool("cut", "job.json", cwd=folder)
    that(done.returncode == 0, f"two spellings: exit {done.returncode}: {done.stderr}")
    that("same bytes" not in done.stderr, f"two spellings are no two files: {done.stderr}")
    events = [event for event in edl_reader.read(os.path.join(folder, "out", "reel.edl"), RATE)
              if event.channel == "V" and event.clip == "K_01.mp4"]
    that(len(events) >= 2 and len({event.reel for event in events}) == 1,
         f"two spellings: reels {[event.reel for event in events]}")


if __name__ == "__main__":
    run((in_the_cut, deleted, kept, spellings), "hand-marks")
