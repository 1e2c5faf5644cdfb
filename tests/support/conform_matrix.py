# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""Judges cuts of counted footage (counted_footage.py): in each record frame the picture that the EDL asks for, the one
that the OTIO asks for and, where there is one, that of a movie must be the picture that the plan means by the frame rule.
Lists are followed by the readers of this folder, pictures are those that ffmpeg decodes, and what the plan means is
worked out here from plan.json, from what was painted and from the presentation times that ffprobe reports.

    conform_matrix.py FOLDER CUT...    FOLDER holds the footage; a CUT is a folder of plan.json, cut.otio, cut*.edl,
                                       perhaps parts*.edl (each from the start label) and movie.*; exit 1 if they differ"""
import concurrent.futures
import glob
import json
import os
import pathlib
import sys
from fractions import Fraction

import jsonschema

import clock
import conform_render
import counted
import cut_compare
import edl_reader
import otio_reader

HALF = Fraction(1, 2)
OUTSIDE = "outside the file"
SCHEMA = pathlib.Path(__file__).resolve().parents[2] / "schemas" / "otio.schema.json"


class Footage(conform_render.Footage):
    """Files by name, with what was painted into them and what ffmpeg decodes of them."""

    def __init__(self, folder):
        super().__init__(folder)
        with open(self._paths["footage.json"][0], encoding="ascii") as file:
            self.told = {one["name"]: one for one in json.load(file)}
        self._decoded = {}

    def decode(self, names):
        with concurrent.futures.ThreadPoolExecutor(2) as pool:
            list(pool.map(lambda name: self.decoded(self.file(name).path), sorted(names)))

    def decoded(self, path):
        path = os.path.realpath(path)
        if path not in self._decoded:
            self._decoded[path] = counted.read(path)
        return self._decoded[path]

    def painted(self, name):
        told = self.told[name]
        return [(told["clip"], told["first"] + k) for k in range(told["count"])]

    def shown(self, spots):
        """The counters that ffmpeg decodes at [(path, second) or None], one each."""
        return [spot and self._at(self.file(os.path.basename(spot[0])), *spot) for spot in spots]

    def _at(self, media, path, second):
        if not 0 <= second < media.end_s():
            return OUTSIDE
        return self.decoded(path)[media.picture(second)]


class Shot:
    """A shot of the plan, or a stretch of one, in exact numbers."""

    def __init__(self, shot, stretch, rate, footage):
        media, told = footage.file(shot["file"]), footage.told[shot["file"]]
        label_s = clock.label_s(told["label"], Fraction(told["label_rate"])) if told["label"] else 0
        self.rate, self.media, self.painted = rate, media, footage.painted(shot["file"])
        self.record_in, self.record_out = stretch["record"] if stretch else shot["record"]
        first = stretch["source"][0] if stretch else shot["source_in"]
        self.source = first - label_s * rate % 1  # list frames from the file's first picture
        self.source_length = stretch["source"][1] - first if stretch else None
        length = self.record_out - self.record_in
        self.speed = Fraction(self.source_length, length) if stretch else Fraction(shot["speed"])
        self.contacts = shot["contacts"]
        # What an M2 line can say; real time has none.
        self.field = self.speed if self.speed == 1 else clock.half_down(self.speed * rate * 10) / (10 * rate)

    def pictures(self, speed):
        return [self.painted[self.media.picture((self.source + (k + HALF) * speed) / self.rate)]
                for k in range(self.record_out - self.record_in)]

    def _error(self, media_s, beat_s, speed):
        """Record frames by which the contact is late."""
        into = Fraction(media_s) * self.rate - self.source
        return self.record_in + into / speed - Fraction(beat_s) * self.rate

    def field_holds(self):
        """Whether the whole cut may take the speed of the M2 line: all contacts stay within half a frame of their beats,
        or as near as they were, and the file has what the speed uses."""
        if self.field <= 0:
            return False
        length = self.record_out - self.record_in
        if self.source_length is not None:
            return clock.half_down(length * self.field) == self.source_length
        if self.source + length * self.field > self.media.end_s() * self.rate:
            return False
        return all(abs(self._error(*contact, self.field)) <=
                   max(HALF, abs(self._error(*contact, self.speed))) + Fraction(1, 10**6) for contact in self.contacts)


def meant(plan, footage):
    """What the EDL and what the OTIO should show, two lists of (clip, picture), and in how many shots they part: where an
    M2 line cannot say the speed and rounding it for all would lose a beat."""
    rate = Fraction(plan["rate"])
    by_edl, by_otio, apart = [], [], 0
    for shot in plan["shots"]:
        for stretch in shot["stretches"] or [None]:
            piece = Shot(shot, stretch, rate, footage)
            exact, rounded = piece.pictures(piece.speed), piece.pictures(piece.field)
            by_edl += rounded
            by_otio += rounded if piece.field_holds() else exact
            apart += rounded != exact and not piece.field_holds()
    return by_edl, by_otio, apart


def differences(name, found, wanted):
    """A sentence for each record frame in which a list or a movie shows another picture than it should."""
    said = [f"record frame {k}: {name} shows {found[k]}, expected {wanted[k]}"
            for k in range(min(len(found), len(wanted))) if found[k] != wanted[k]]
    if len(found) != len(wanted):
        said.append(f"{name} has {len(found)} record frames, expected {len(wanted)}")
    return said


def misfits(path):
    """Where an OTIO does not fit the schema of what we write, judged by Debian's JSON Schema library."""
    validator = jsonschema.Draft7Validator(json.loads(SCHEMA.read_text(encoding="utf-8")))
    with open(path, encoding="utf-8") as file:
        return [f"the OTIO: {list(one.absolute_path)}: {one.message}" for one in validator.iter_errors(json.load(file))]


def told_apart(path):
    """Of how many shots the cut's notes tell that the EDL may show another picture than the OTIO."""
    with open(path, encoding="utf-8") as file:
        return sum("the EDL can only say" in note for note in json.load(file)["metadata"]["downball"]["notes"])


def judge(cut, footage):
    """(differences of all kinds, record frames, different pictures) of one cut."""
    with open(os.path.join(cut, "plan.json"), encoding="utf-8") as file:
        plan = json.load(file)
    rate = Fraction(plan["rate"])
    otio = os.path.join(cut, "cut.otio")
    names = {shot["file"] for shot in plan["shots"]}
    footage.decode(names)
    said = [f"{name}: what ffmpeg decodes is not what was painted" for name in sorted(names)
            if footage.decoded(footage.file(name).path) != footage.painted(name)]
    said += misfits(otio)
    edl_wanted, otio_wanted, apart = meant(plan, footage)
    if told_apart(otio) < apart:
        said.append(f"the lists part in {apart} shots, of which {told_apart(otio)} are told")
    for kind, from_start in (("cut", False), ("parts", True)):
        lists = sorted(glob.glob(os.path.join(cut, kind + "*.edl")))
        if not lists and from_start:
            continue
        said += cut_compare.compare(lists, otio, rate, lambda clip: footage.file(clip).first_frame(rate),
                                    from_start=from_start)
        spots = conform_render.shown_by_edl(lists, rate, footage, from_start)
        said += differences("the EDL", footage.shown(spots), edl_wanted)
    said += differences("the OTIO", footage.shown(conform_render.shown_by_otio(otio)), otio_wanted)
    for movie in glob.glob(os.path.join(cut, "movie.*")):
        said += differences("the movie", counted.read(movie), otio_wanted)
    return said, len(otio_wanted), len(set(otio_wanted))


def main(words):
    footage, failed, frames = Footage(words[0]), 0, 0
    for cut in words[1:]:
        try:
            said, length, pictures = judge(cut, footage)
        except (edl_reader.BrokenList, otio_reader.BrokenTimeline, LookupError) as broken:
            said, length, pictures = [str(broken)], 0, 0
        frames += length
        print(f"{os.path.basename(cut)}: {length} record frames, {pictures} pictures, {len(said)} differences")
        print("".join(f"    {one}\n" for one in said[:20]), end="")
        failed += bool(said) or not length
    print(f"{len(words) - 1} cuts, {frames} record frames, {failed} cuts differ")
    return 1 if failed or not frames else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
