# SPDX-FileCopyrightText: The Downball authors
# SPDX-License-Identifier: GPL-3.0-or-later
"""An independent reader of OpenTimelineIO JSON, standard library only: breaches(path) names every rule of the
interchange that is broken, read(path) gives the cut of a file that breaks none. A library that loads a file
proves little, since it accepts negative durations, rate 0 and a dangling media key."""
import json
import math
import os
import re
import sys
import urllib.parse
from fractions import Fraction

import clock

VERSIONS = {"Timeline.1", "Stack.1", "Track.1", "Clip.2", "Gap.1", "Marker.2", "LinearTimeWarp.1",
            "ExternalReference.1", "RationalTime.1", "TimeRange.1"}
COLOURS = {"PINK", "RED", "ORANGE", "YELLOW", "GREEN", "CYAN", "BLUE", "PURPLE", "MAGENTA", "BLACK", "WHITE"}


class BrokenTimeline(ValueError):
    pass


class Item:
    """A clip on a track. Record in frames at the list's rate, from the timeline's start; source in list frames as
    written; media_s(frames) turns those into seconds of the file."""

    def __init__(self, track, kind, record_in, record_out, source_in, speed, clip):
        self.track, self.kind = track, kind
        self.record_in, self.record_out = record_in, record_out
        self.source_in, self.speed, self.clip = source_in, speed, clip
        self.file = self.url = self.reel = None
        self.origin_s = Fraction(0)  # of source time at the file's zero
        self.marks = []


class Cut:
    def __init__(self):
        self.name, self.rate, self.start, self.length = None, None, 0, 0
        self.kinds = []  # of the tracks, in their order
        self.items = []


def _pairs(pairs):
    keys = [key for key, _ in pairs]
    if len(keys) != len(set(keys)):
        raise BrokenTimeline(f"a key stands twice in an object: {sorted(k for k in keys if keys.count(k) > 1)[0]!r} "
                             "(rule 24)")
    return dict(pairs)


def _refuse(word):
    raise BrokenTimeline(f"{word} is no JSON number (rule 24)")


class _Reading:
    def __init__(self, data, folder):
        self.folder = folder
        self.broken = []
        self.cut = Cut()
        self.file_of_reel, self.reel_of_file = {}, {}
        try:
            if data.startswith(b"\xef\xbb\xbf"):
                raise BrokenTimeline("byte-order mark (rule 24)")
            root = json.loads(data.decode("utf-8"), object_pairs_hook=_pairs, parse_constant=_refuse)
        except (BrokenTimeline, ValueError) as bad:
            self.broken.append(str(bad))
            return
        self._versions(root, "")
        if not self.broken:
            try:
                self._timeline(root)
            except (KeyError, TypeError, AttributeError, IndexError) as bad:
                self.broken.append(f"a field is missing or of another type: {bad!r} (rules 16-19)")

    def complain(self, where, text):
        self.broken.append(f"{where or '/'}: {text}")

    def _versions(self, value, where):
        if isinstance(value, dict):
            if "OTIO_SCHEMA" in value and value["OTIO_SCHEMA"] not in VERSIONS:
                self.complain(where, f"object {value['OTIO_SCHEMA']} (rule 16)")
            if "metadata" in value and not set(value["metadata"]) <= {"downball"}:
                self.complain(where, "metadata outside the namespace (rule 24)")
            for key, inner in value.items():
                if key != "metadata":
                    self._versions(inner, f"{where}/{key}")
        elif isinstance(value, list):
            for index, inner in enumerate(value):
                self._versions(inner, f"{where}/{index}")

    def _time(self, value, where, whole=True):
        """(value, rate) as exact numbers."""
        if value.get("OTIO_SCHEMA") != "RationalTime.1":
            self.complain(where, "no RationalTime.1 (rule 16)")
        number, rate = value["value"], value["rate"]
        for each in (number, rate):
            if isinstance(each, bool) or not isinstance(each, (int, float)) or not math.isfinite(each):
                self.complain(where, f"{each!r} is no finite number (rule 18)")
                return Fraction(0), Fraction(1)
        if rate <= 0:
            self.complain(where, f"rate {rate} (rule 18)")
            return Fraction(0), Fraction(1)
        exact = clock.exact_rate(rate)
        if abs(float(exact) - rate) > 1e-9:
            self.complain(where, f"rate {rate} is not written in full, expected {float(exact)!r} (rule 18)")
        if whole and number != int(number):
            self.complain(where, f"{number} is no whole frame (rule 19)")
        # A start label of the list need not be a whole frame of the media: undo the double's rounding.
        return (Fraction(int(number)) if number == int(number) else Fraction(number).limit_denominator(10**6)), exact

    def _range(self, value, where, whole=True):
        if not value:
            self.complain(where, "no range (rule 19)")
            return Fraction(0), Fraction(1), Fraction(1)
        if value.get("OTIO_SCHEMA") != "TimeRange.1":
            self.complain(where, "no TimeRange.1 (rule 16)")
        start, start_rate = self._time(value["start_time"], where + "/start_time", whole)
        length, rate = self._time(value["duration"], where + "/duration")
        if start_rate != rate:
            self.complain(where, "start and duration in two rates (rule 18)")
        if length <= 0:
            self.complain(where, f"duration {length} (rule 26)")
        return start, length, rate

    def _timeline(self, root):
        if root.get("OTIO_SCHEMA") != "Timeline.1":
            self.complain("", "no Timeline.1 (rule 16)")
            return
        self.cut.name = root["name"]
        start, self.cut.rate = self._time(root["global_start_time"], "/global_start_time")
        self.cut.start = int(start)
        if root["tracks"].get("OTIO_SCHEMA") != "Stack.1":
            self.complain("/tracks", "no Stack.1 (rule 16)")
        ends = {}
        for index, track in enumerate(root["tracks"]["children"]):
            where = f"/tracks/children/{index}"
            if track.get("OTIO_SCHEMA") != "Track.1" or track["kind"] not in ("Video", "Audio"):
                self.complain(where, "no Track.1 of kind Video or Audio (rule 16)")
                continue
            self.cut.kinds.append(track["kind"])
            ends[where] = self._track(len(self.cut.kinds) - 1, track, where)
        if len(set(ends.values())) > 1:
            self.complain("/tracks", f"tracks end on different frames: {sorted(set(ends.values()))} (rule 21)")
        self.cut.length = max(ends.values(), default=0)

    def _track(self, index, track, where):
        at = 0
        for number, child in enumerate(track["children"]):
            place = f"{where}/children/{number}"
            start, length, rate = self._range(child.get("source_range"), place + "/source_range")
            if rate != self.cut.rate:
                self.complain(place, f"source range at {rate}, the timeline runs at {self.cut.rate} (rule 19)")
            end = at + int(length)
            if child["OTIO_SCHEMA"] == "Clip.2":
                item = self._clip(child, place, Item(index, track["kind"], at, end, start, Fraction(1), child["name"]))
                self._markers(child, place, start, length, item)
                self.cut.items.append(item)
            elif child["OTIO_SCHEMA"] != "Gap.1":
                self.complain(place, f"{child['OTIO_SCHEMA']} on a track (rule 16)")
            at = end
        return at

    def _clip(self, clip, where, item):
        references, key = clip.get("media_references"), clip.get("active_media_reference_key")
        if not isinstance(references, dict) or key not in references:
            self.complain(where, f"media key {key!r} has no reference (rule 17)")
            return item
        reference = references[key]
        if reference.get("OTIO_SCHEMA") != "ExternalReference.1":
            self.complain(where, "no ExternalReference.1 (rule 16)")
            return item
        for effect in clip.get("effects", []):
            if effect["OTIO_SCHEMA"] != "LinearTimeWarp.1" or effect.get("effect_name") != "LinearTimeWarp":
                self.complain(where, "an effect that is no named LinearTimeWarp.1 (rule 20)")
            scalar = effect["time_scalar"]
            if not isinstance(scalar, (int, float)) or not math.isfinite(scalar) or scalar <= 0:
                self.complain(where, f"time_scalar {scalar!r} (rule 18)")
                continue
            item.speed *= Fraction(scalar).limit_denominator(1000000)
        self._media(reference, where, item)
        reel = clip["metadata"].get("downball", {}).get("reel")
        if not isinstance(reel, str) or not re.fullmatch(r"[A-Z0-9]{1,8}", reel) or reel == "BL":
            self.complain(where, f"reel {reel!r} (rule 5)")
        elif self.file_of_reel.setdefault(reel, item.url) != item.url:
            self.complain(where, f"reel {reel} is two files (rule 5)")
        elif self.reel_of_file.setdefault(item.url, reel) != reel:
            self.complain(where, f"{item.url} has two reels (rule 5)")
        item.reel = reel
        return item

    def _media(self, reference, where, item):
        start, length, rate = self._range(reference.get("available_range"), where + "/available_range", whole=False)
        item.origin_s = start / rate
        used = (item.record_out - item.record_in) * item.speed / self.cut.rate
        begin = Fraction(item.source_in) / self.cut.rate - item.origin_s
        if begin < 0 or begin + used > (length + 1) / rate:
            self.complain(where, f"uses {float(begin):.3f} to {float(begin + used):.3f} s of a file of "
                                 f"{float(length / rate):.3f} s (rules 19, 20)")
        item.url = reference["target_url"]
        item.file = self._path(item.url, where)

    def _path(self, url, where):
        if re.search(r"[^!-~]", url) or re.search(r"%(?![0-9A-Fa-f]{2})", url):
            self.complain(where, f"target_url {url!r} is not percent-encoded (rule 23)")
        if url.startswith("./"):
            self.complain(where, "target_url begins with ./ (rule 23)")
        if url.startswith("file://"):
            return urllib.parse.unquote(urllib.parse.urlsplit(url).path)
        if url.startswith("/"):
            self.complain(where, f"target_url {url!r} is neither file:/// nor relative (rule 23)")
        return os.path.normpath(os.path.join(self.folder, urllib.parse.unquote(url)))

    def _markers(self, clip, where, start, length, item):
        for marker in clip.get("markers", []):
            at, _, rate = self._range(marker["marked_range"], where + "/markers")
            if marker["OTIO_SCHEMA"] != "Marker.2" or marker["color"] not in COLOURS:
                self.complain(where, f"marker {marker.get('name')!r}: version or colour (rules 16, 22)")
            if rate != self.cut.rate or not start <= at < start + length:
                self.complain(where, f"marker {marker.get('name')!r} is not in the clip's time (rule 22)")
            item.marks.append(item.record_in + int(at - start))


def _reading(path):
    with open(path, "rb") as file:
        return _Reading(file.read(), os.path.dirname(os.path.abspath(path)))


def breaches(path):
    """Every rule the file breaks, a sentence each; empty = none."""
    return _reading(path).broken


def read(path):
    """The cut of a file that keeps all rules."""
    reading = _reading(path)
    if reading.broken:
        raise BrokenTimeline(f"{path}: " + "; ".join(reading.broken[:20]))
    return reading.cut


if __name__ == "__main__":
    found = breaches(sys.argv[1])
    print("\n".join(found) or "keeps all rules")
    sys.exit(bool(found))
