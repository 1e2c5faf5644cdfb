# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Lists that come back edited: what `cut --from` makes of them, told by the independent readers."""
import json
import os
import re
import shutil

import otio_reader
from edit_otio import Edit
from run_tool import hashes


class RoundTrip:
    """A job with its first cut in out/; each case begins with that."""

    def __init__(self, checks, tool, folder):
        self.checks, self.tool, self.folder = checks, tool, folder
        self.first = os.path.join(folder, "first")
        shutil.copytree(os.path.join(folder, "out"), self.first)
        with open(os.path.join(folder, "job.json"), encoding="utf-8") as file:
            self.name = json.load(file)["name"]
        self.shots = self.report()["shots"]

    def report(self):
        with open(os.path.join(self.folder, "out", self.name + ".report.json"), encoding="utf-8") as file:
            return json.load(file)

    def edit(self):
        return Edit(os.path.join(self.first, self.name + ".otio"))

    def single_shots(self, edit):
        """Children of the picture track that are a whole action, neither first nor last, by index."""
        ids = [edit.shot(item) for item in edit.picture]
        return [n for n in range(1, len(ids) - 1) if "#" in ids[n] and ids.count(ids[n]) == 1]

    def cut(self, path, *more):
        """From the first cut's outputs, twice: the same list asks for the same cut again."""
        shutil.rmtree(os.path.join(self.folder, "out"))
        shutil.copytree(self.first, os.path.join(self.folder, "out"))
        done = self.tool("cut", "job.json", "--from", path, *more, cwd=self.folder)
        case = os.path.basename(path)
        if not self.checks.that(done.returncode == 0, f"{case}: exit {done.returncode}\n{done.stdout}{done.stderr}"):
            return None
        made = hashes(os.path.join(self.folder, "out"))
        self.tool.must("cut", "job.json", "--from", path, *more, cwd=self.folder)
        self.checks.that(hashes(os.path.join(self.folder, "out")) == made, f"{case}: taken back again, the same bytes")
        edl = os.path.join("out", self.name + ".edl")
        shown = self.tool("show", edl, "--against", os.path.join("out", self.name + ".otio"), cwd=self.folder)
        self.checks.that(shown.returncode == 0, f"{case}: the new lists keep the rules and agree: {shown.stdout}")
        return done.stderr

    def pictures(self):
        cut = otio_reader.read(os.path.join(self.folder, "out", self.name + ".otio"))
        return {item.record_in: (os.path.basename(item.file), int(item.source_in), round(float(item.speed), 6))
                for item in cut.items if item.kind == "Video"}

    def keeps(self, case, edit, but=()):
        """Every clip of the edited picture track begins where it began with the picture it began with."""
        there, at, missing = self.pictures(), 0, []
        for n, item in enumerate(edit.picture):
            if item["OTIO_SCHEMA"].startswith("Clip") and n not in but:
                speed = next((effect["time_scalar"] for effect in item["effects"]), 1)
                wanted = (item["name"], int(item["source_range"]["start_time"]["value"]), round(speed, 6))
                if there.get(at) != wanted:
                    missing.append((at, wanted, there.get(at)))
            at += edit.frames(item)
        self.checks.that(not missing, f"{case}: {len(missing)} clips do not stand where the edited list has them: {missing[:3]}")

    def gone(self, case, ids):
        """Neither shots nor contacts held of the new cut are these."""
        report = self.report()
        seen = {shot["id"] for shot in report["shots"]}
        for shot in report["shots"]:
            seen |= {anchor["contact"] for anchor in (shot["anchors"] if "parts" in shot else [])}
        self.checks.that(not seen & set(ids), f"{case}: {seen & set(ids)} came back")
        self.checks.that(set(ids) <= set(report["from_list"]["removed"]), f"{case}: the report tells what was taken out")

    def told(self, case, stderr, pattern):
        self.checks.that(re.search(pattern, stderr), f"{case}: says {pattern!r}:\n{stderr}")

    def untouched(self):
        for kind in ("otio", "edl"):
            path = os.path.join(self.first, f"{self.name}.{kind}")
            stderr = self.cut(path)
            if stderr is None:
                continue
            count = len(self.shots)
            self.told(kind, stderr, rf"{count} of {count} shots keep their places\n")
            self.keeps(kind, self.edit())

    def taken_out(self):
        for forgetful in (False, True):
            edit = self.edit()
            singles = self.single_shots(edit)
            which = [singles[3], singles[len(singles) // 2], singles[len(singles) // 2 + 1]]
            ids = [edit.shot(edit.picture[n]) for n in which]
            for n in which:
                edit.lift(n)
            if forgetful:
                edit.forget()
            case = "forgetful.otio" if forgetful else "lifted.otio"
            edit.save(os.path.join(self.folder, case))
            stderr = self.cut(case)
            if stderr is not None:
                self.told(case, stderr, "3 taken out")
                self.told(case, stderr, "taken out: .*" + re.escape(ids[0]))
                self.keeps(case, edit)
                self.gone(case, ids)

    def trimmed(self):
        edit = self.edit()
        rolled = next(n for n in self.single_shots(edit)
                      if self.leads(edit, n) >= 4 and edit.frames(edit.picture[n - 1]) > 12)
        edit.roll(rolled - 1, 1)
        edit.save(os.path.join(self.folder, "trimmed.otio"))
        if self.cut("trimmed.otio") is not None:
            self.keeps("trimmed.otio", edit)

    def leads(self, edit, n):
        marker = edit.picture[n]["markers"][0]["marked_range"]["start_time"]["value"]
        return int(marker - edit.picture[n]["source_range"]["start_time"]["value"])

    def slipped(self):
        """Off its beat by two frames: put back on it, and told how to keep it so; what is told to be done does it."""
        edit = self.edit()
        files = [item["name"] for item in edit.picture] # of a clip that shows once, so that no pictures come twice
        n = next(n for n in self.single_shots(edit) if not edit.picture[n]["effects"] and files.count(files[n]) == 1)
        as_it_was = self.edit()
        edit.slip(n, 2)
        edit.save(os.path.join(self.folder, "slipped.otio"))
        stderr = self.cut("slipped.otio")
        if stderr is None:
            return
        self.keeps("slipped.otio", as_it_was)
        advice = re.search(r"slipped by 2 frames to meet one; if the picture was right, write (\d+\.\d{3}) in place of "
                           r"(\d+\.\d{3}) in column contacts of (\S+)", stderr)
        if not self.checks.that(advice, f"slipped.otio: tells how to keep it:\n{stderr}"):
            return
        path = os.path.join(self.folder, "log.csv")
        with open(path, encoding="utf-8", newline="") as file:
            log = file.read()
        row = next(line for line in log.splitlines(keepends=True) if line.startswith(advice[3] + ","))
        with open(path, "w", encoding="utf-8", newline="") as file:
            file.write(log.replace(row, row.replace(advice[2], advice[1], 1)))
        if self.cut("slipped.otio") is not None:
            self.keeps("slipped.otio, contacts mended", edit)
        with open(path, "w", encoding="utf-8", newline="") as file:
            file.write(log)

    def slipped_past(self):
        """So far that its contact is not seen: its place is filled anew, but nothing counts as taken out."""
        edit = self.edit()
        n = self.single_shots(edit)[5]
        gone = edit.shot(edit.picture[n])
        edit.slip(n, 40)
        edit.save(os.path.join(self.folder, "past.otio"))
        if self.cut("past.otio") is not None:
            self.keeps("past.otio", edit, but=[n])
            self.checks.that(gone not in self.report()["from_list"]["removed"], f"past.otio: {gone} does not count as taken out")

    def undone(self):
        """Part of a rally taken out, and put back in the next list."""
        edit = self.edit()
        ids = [edit.shot(item) for item in edit.picture]
        rallies = [n for n in range(1, len(ids) - 2) if ids[n] == ids[n + 1] != ids[n - 1]]
        if not rallies:
            return
        edit.lift(rallies[0])
        edit.save(os.path.join(self.folder, "part.otio"))
        self.cut("part.otio")
        whole = os.path.join(self.first, self.name + ".otio")
        done = self.tool("cut", "job.json", "--from", whole, cwd=self.folder)
        count = len(self.shots)
        if self.checks.that(done.returncode == 0, f"undone: exit {done.returncode}\n{done.stdout}{done.stderr}"):
            self.told("undone", done.stderr, rf"{count} of {count} shots keep their places")
            self.keeps("undone", self.edit())

    def without_report(self):
        """Nothing but the lists is there: rallies are told by what they show."""
        for kind in ("otio", "edl"):
            shutil.rmtree(os.path.join(self.folder, "out"))
            done = self.tool("cut", "job.json", "--from", os.path.join(self.first, f"{self.name}.{kind}"), cwd=self.folder)
            case, count = f"{kind} without a report", len(self.shots)
            if self.checks.that(done.returncode == 0, f"{case}: exit {done.returncode}\n{done.stdout}{done.stderr}"):
                self.told(case, done.stderr, rf"{count} of {count} shots keep their places\n")
                self.keeps(case, self.edit())

    def laid_over(self):
        """An EDL in which a shot begins before the one ahead of it ends: the later one gives way, and is told."""
        with open(os.path.join(self.first, self.name + ".edl"), encoding="ascii", newline="") as file:
            lines = file.read().split("\r\n")
        pictures = [n for n, line in enumerate(lines) if line[14:15] == "V" and not lines[n + 1].startswith("M2")]
        reels = [lines[n][5:13] for n in pictures]
        # A shot without a contact, which has no other reason to give way.
        plain = {shot["record"]["in_label"] for shot in self.shots if "#" not in shot["id"]}
        n = next(n for at, n in enumerate(pictures) if at > 3 and lines[n][62:64] != "00" and
                 reels.count(reels[at]) == 1 and lines[n][53:64] in plain)
        lines[n] = lines[n][:62] + f"{int(lines[n][62:64]) - 1:02}" + lines[n][64:]
        with open(os.path.join(self.folder, "over.edl"), "w", encoding="ascii", newline="") as file:
            file.write("\r\n".join(lines))
        stderr = self.cut("over.edl")
        if stderr is not None:
            self.told("over.edl", stderr, "lies over the shot before it")

    def moved_up(self):
        """A shot extracted, so that all after it lie off their beats: the cut is made all the same, and told."""
        edit = self.edit()
        n = self.single_shots(edit)[4]
        gone = edit.shot(edit.picture[n])
        before = len(edit.picture) - n
        edit.extract(n)
        edit.save(os.path.join(self.folder, "moved.otio"))
        stderr = self.cut("moved.otio")
        if stderr is not None:
            self.keeps("moved.otio", edit, but=range(n - 1, n + before))
            self.gone("moved.otio", [gone])
            self.told("moved.otio", stderr, "may find another")

    def clock_changed(self):
        """The editor's timeline begins at midnight: beats go with the song."""
        edit = self.edit()
        edit.root["global_start_time"]["value"] = 0
        edit.save(os.path.join(self.folder, "midnight.otio"))
        if self.cut("midnight.otio") is not None:
            self.keeps("midnight.otio", edit)

    def bare_edl(self):
        """As another program writes it: pictures and song, clip names and speeds, no marks; one shot is gone."""
        single = self.single_shots(self.edit())
        gone = self.edit().shot(self.edit().picture[single[2]])
        reel_and_in = next((shot["reel"], shot["record"]["in_label"]) for shot in self.shots if shot["id"] == gone)
        with open(os.path.join(self.first, self.name + ".edl"), encoding="ascii", newline="") as file:
            lines = file.read().split("\r\n")
        kept, skipping, number = lines[:2], False, 0
        for line in lines[2:]:
            if re.match(r"\d{3}  ", line):
                skipping = line[14:17] == "A2 " or (line[5:13].strip(), line[53:64]) == reel_and_in
                number += not skipping
                line = f"{number:03}" + line[3:]
            if not skipping and not (line.startswith("* ") and "CLIP NAME" not in line):
                kept.append(line)
        with open(os.path.join(self.folder, "bare.edl"), "w", encoding="ascii", newline="") as file:
            file.write("\r\n".join(kept))
        stderr = self.cut("bare.edl")
        if stderr is not None:
            edit = self.edit()
            edit.lift(single[2])
            self.told("bare.edl", stderr, "1 taken out")
            self.keeps("bare.edl", edit)
            self.gone("bare.edl", [gone])

    def run(self):
        self.untouched()
        self.taken_out()
        self.trimmed()
        self.slipped()
        self.slipped_past()
        self.undone()
        self.without_report()
        self.laid_over()
        self.moved_up()
        self.clock_changed()
        self.bare_edl()
